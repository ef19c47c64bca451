import { near } from "./dom";
import { changed } from "./save";

// dragging lets openings be moved on the elevation, and made larger or smaller by their
// edges, in steps of 10 mm, or 1 mm with Shift. The fields beside follow, and are saved
// when it is let go. Escape puts it back.
type Box = { left: number; sill: number; width: number; height: number }; // mm on the wall
type Grip = { left: boolean; right: boolean; top: boolean; foot: boolean };

type Held = {
  group: SVGGElement;
  form: HTMLFormElement;
  fields: Partial<Record<keyof Box, HTMLInputElement>>;
  typed: Partial<Record<keyof Box, string>>; // as it was before
  was: Box;
  now: Box;
  grip: Grip;
  unit: number; // mm to a unit of the drawing
  shift: [number, number]; // of the drawing, from an earlier move that is not laid yet
  pointer: { id: number; x: number; y: number; mm: number } | null; // null for keys
};

const keys = ["left", "sill", "width", "height"] as const;
const whole: Grip = { left: false, right: false, top: false, foot: false };
const least = 10; // mm of an opening

let held: Held | null = null;
let later = 0;

function hold(group: SVGGElement, grip: Grip, event: PointerEvent | null): Held | null {
  const svg = group.ownerSVGElement;
  const form = document.querySelector<HTMLFormElement>("form#wall");
  if (!form || !svg) return null;
  const was = { left: 0, sill: 0, width: 0, height: 0 };
  const h: Held = { group, form, fields: {}, typed: {}, was, now: was, grip, unit: Number(svg.dataset.mmPerUnit), shift: [0, 0], pointer: null };
  for (const key of keys) {
    const field = form.querySelector<HTMLInputElement>(`[name="set:${group.dataset.opening}.${key}"]`);
    if (field) {
      h.fields[key] = field;
      h.typed[key] = field.value;
    }
    h.was[key] = Number(group.dataset[key]);
  }
  if (!h.fields.left || !h.fields.sill) return null;
  const at = group.transform.baseVal.consolidate()?.matrix;
  if (at) h.shift = [at.e, at.f];
  h.was.left += h.shift[0] * h.unit;
  h.was.sill -= h.shift[1] * h.unit;
  h.now = { ...h.was };
  const shown = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
  if (event) h.pointer = { id: event.pointerId, x: event.clientX, y: event.clientY, mm: h.unit / shown };
  return h;
}

// pulled is an opening after its grip went by dx and dy mm, on whole steps.
export function pulled(was: Box, grip: Grip, dx: number, dy: number, step: number): Box {
  const to = (v: number, from: number, least: number) => (v === from ? from : Math.max(least, Math.round(v / step) * step));
  const now = { ...was };
  if (grip.left) {
    now.left = Math.min(to(was.left + dx, was.left, 0), was.left + was.width - least);
    now.width = was.left + was.width - now.left;
  }
  if (grip.right) now.width = to(was.width + dx, was.width, least);
  if (grip.foot) {
    now.sill = Math.min(to(was.sill + dy, was.sill, 0), was.sill + was.height - least);
    now.height = was.sill + was.height - now.sill;
  }
  if (grip.top) now.height = to(was.height + dy, was.height, least);
  if (!(grip.left || grip.right || grip.foot || grip.top)) {
    now.left = to(was.left + dx, was.left, 0);
    now.sill = to(was.sill + dy, was.sill, 0);
  }
  return now;
}

// show puts an opening where it is held: its figures in the fields, its place on the drawing.
function show(h: Held, now: Box): void {
  h.now = now;
  for (const key of keys) {
    const field = h.fields[key];
    if (field) field.value = now[key] === h.was[key] ? h.typed[key]! : String(Math.round(now[key]));
  }
  const x = (now.left - h.was.left) / h.unit + h.shift[0];
  const y = (h.was.sill - now.sill) / h.unit + h.shift[1];
  outline(h.group)?.remove();
  if (now.width === h.was.width && now.height === h.was.height) {
    if (x || y) h.group.setAttribute("transform", `translate(${x} ${y})`);
    else h.group.removeAttribute("transform");
    return;
  }
  const box = h.group.getBBox();
  const line = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  const wider = (now.width - h.was.width) / h.unit;
  const taller = (now.height - h.was.height) / h.unit;
  for (const [name, value] of Object.entries({ class: "chalk", "data-pulled": "", fill: "none", x: box.x + x, y: box.y + y - taller, width: box.width + wider, height: box.height + taller })) line.setAttribute(name, String(value));
  h.group.after(line);
}

// outline is the chalk line of an opening that is made larger or smaller.
function outline(group: SVGGElement): Element | null {
  const next = group.nextElementSibling;
  return next?.matches("[data-pulled]") ? next : null;
}

function letGo(save: boolean): void {
  const h = held;
  held = null;
  clearTimeout(later);
  if (!h) return;
  if (!save) return show(h, h.was);
  const names = keys.filter((key) => h.now[key] !== h.was[key] && h.fields[key]).map((key) => h.fields[key]!.name);
  if (names.length > 0) changed(h.form, names); // the drawing follows with the answer
}

// gripOf is what a pointer takes hold of: near an edge that edge, else the whole opening.
function gripOf(group: SVGGElement, event: PointerEvent): Grip {
  const box = group.getBoundingClientRect();
  const form = document.querySelector<HTMLFormElement>("form#wall");
  const has = (key: string) => !!form?.querySelector(`[name="set:${group.dataset.opening}.${key}"]`);
  const wide = has("width") ? Math.min(12, box.width / 4) : 0;
  const high = has("height") ? Math.min(12, box.height / 4) : 0;
  return {
    left: event.clientX < box.left + wide,
    right: event.clientX > box.right - wide && wide > 0,
    top: event.clientY < box.top + high,
    foot: event.clientY > box.bottom - high && high > 0 && Number(group.dataset.sill) > 0, // a door stays on the floor
  };
}

function cursorOf(g: Grip): string {
  if ((g.left && g.top) || (g.right && g.foot)) return "nwse-resize";
  if ((g.right && g.top) || (g.left && g.foot)) return "nesw-resize";
  if (g.left || g.right) return "ew-resize";
  return g.top || g.foot ? "ns-resize" : "move";
}

export function dragging(): void {
  document.addEventListener("pointerdown", (event) => {
    const group = near<SVGGElement>(event, "g[data-opening]");
    if (!group || event.button !== 0) return;
    letGo(true);
    held = hold(group, gripOf(group, event), event);
    if (!held) return;
    group.setPointerCapture(event.pointerId);
    event.preventDefault();
    group.focus();
  });
  document.addEventListener("pointermove", (event) => {
    const p = held?.pointer;
    if (held && p?.id === event.pointerId) return show(held, pulled(held.was, held.grip, (event.clientX - p.x) * p.mm, (p.y - event.clientY) * p.mm, event.shiftKey ? 1 : 10));
    const group = near<SVGGElement>(event, "g[data-opening]");
    if (group) (event.target as Element).setAttribute("cursor", cursorOf(gripOf(group, event)));
  });
  document.addEventListener("pointerup", () => letGo(true));
  document.addEventListener("pointercancel", () => {
    if (held?.pointer) letGo(false);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && held) return letGo(false);
    const group = near<SVGGElement>(event, "g[data-opening]");
    const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (!group || !by || held?.pointer) return;
    event.preventDefault();
    if (held?.group !== group) letGo(true);
    held ??= hold(group, whole, null);
    if (!held) return;
    const step = event.shiftKey ? 1 : 10;
    show(held, pulled(held.was, whole, held.now.left - held.was.left + by[0] * step, held.now.sill - held.was.sill + by[1] * step, 1));
    clearTimeout(later);
    later = window.setTimeout(() => letGo(true), 500);
  });
}
