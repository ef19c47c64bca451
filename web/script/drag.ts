import { near } from "./dom";
import { queue } from "./save";

// dragging lets openings be moved on the elevation, in steps of 10 mm, or 1 mm with Shift.
// The fields beside follow, and are saved when it is let go.
type Held = { group: SVGGElement; form: HTMLFormElement; left: HTMLInputElement; sill: HTMLInputElement; mm: number; x: number; y: number; dx: number; dy: number; was: [string, string] };

let held: Held | null = null;
let later = 0;

function hold(group: SVGGElement, x: number, y: number): Held | null {
  const path = group.dataset.opening!;
  const form = document.querySelector<HTMLFormElement>("form#wall");
  const field = (key: string) => form?.querySelector<HTMLInputElement>(`[name="set:${path}.${key}"]`) ?? null;
  const left = field("left");
  const sill = field("sill");
  const svg = group.ownerSVGElement;
  if (!form || !left || !sill || !svg) return null;
  const shown = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
  return { group, form, left, sill, mm: Number(svg.dataset.mmPerUnit) / shown, x, y, dx: 0, dy: 0, was: [left.value, sill.value] };
}

function move(h: Held, dx: number, dy: number, step: number): void {
  const round = (v: number) => Math.round(v / step) * step;
  const begin = { left: Number(h.group.dataset.left), sill: Number(h.group.dataset.sill) };
  const left = Math.max(0, round(begin.left + dx));
  const sill = Math.max(0, round(begin.sill + dy));
  h.dx = left - begin.left;
  h.dy = sill - begin.sill;
  h.left.value = String(left);
  h.sill.value = String(sill);
  const perUnit = Number(h.group.ownerSVGElement!.dataset.mmPerUnit);
  h.group.setAttribute("transform", `translate(${h.dx / perUnit} ${-h.dy / perUnit})`);
}

function letGo(save: boolean): void {
  const h = held;
  held = null;
  if (!h) return;
  if (!save) {
    [h.left.value, h.sill.value] = h.was;
    h.group.removeAttribute("transform");
  } else if (h.dx !== 0 || h.dy !== 0) {
    h.group.removeAttribute("transform");
    queue(h.form, null);
  }
}

export function dragging(): void {
  document.addEventListener("pointerdown", (event) => {
    const group = near<SVGGElement>(event, "g[data-opening]");
    if (!group || event.button !== 0) return;
    held = hold(group, event.clientX, event.clientY);
    if (held) {
      group.setPointerCapture(event.pointerId);
      event.preventDefault();
      group.focus();
    }
  });
  document.addEventListener("pointermove", (event) => {
    if (held) move(held, (event.clientX - held.x) * held.mm, (held.y - event.clientY) * held.mm, event.shiftKey ? 1 : 10);
  });
  document.addEventListener("pointerup", () => letGo(true));
  document.addEventListener("pointercancel", () => letGo(false));
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && held) return letGo(false);
    const group = near<SVGGElement>(event, "g[data-opening]");
    const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (!group || !by) return;
    event.preventDefault();
    held ??= hold(group, 0, 0);
    if (!held) return;
    const step = event.shiftKey ? 1 : 10;
    move(held, held.dx + by[0] * step, held.dy + by[1] * step, 1);
    clearTimeout(later);
    later = window.setTimeout(() => letGo(true), 500);
  });
}
