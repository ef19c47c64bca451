import { after, all, near } from "./dom";

// days lets a step be taken hold of on the chart of the programme, by pointer or by keys, and
// carried to another day. What that costs is asked while it is held; where it costs nothing it
// is saved as it is let go, else a button says so first. Everything is asked of the page: the
// same addresses answer without script.
type Head = { day: string; left: number };
type Held = {
  bars: SVGAElement[]; // of the step, in all rows
  step: string;
  heads: Head[];
  from: number; // heads
  to: number;
  pointer: { id: number; x: number; y: number; shown: number; moved: boolean } | null; // null for keys
};

let held: Held | null = null;
let chosen = ""; // the question that is answered under the chart
let last = ""; // selector of the step or day that had the focus last, while nothing else has it
let asking: AbortController | null = null;
let answered: Promise<void> = Promise.resolve();

const chart = () => document.querySelector<HTMLElement>(".chart[data-try]");
const slot = () => document.getElementById("tried");
const barsOf = (step: string) => all<SVGAElement>(`a[data-step="${CSS.escape(step)}"]`);

// ask fetches what a question costs; the newest wish wins.
function ask(query: string): Promise<void> {
  const place = chart();
  if (!place) return Promise.resolve();
  asking?.abort();
  const own = (asking = new AbortController());
  chosen = query;
  mark();
  answered = (async () => {
    try {
      const answer = await fetch(`${place.dataset.try}?${within(query)}`, { signal: own.signal });
      const text = await answer.text();
      const to = slot();
      if (own.signal.aborted || !to) return;
      if (answer.ok) to.innerHTML = text;
      else to.textContent = "What it costs cannot be said just now.";
    } catch {
      const to = slot();
      if (!own.signal.aborted && to) to.textContent = "What it costs cannot be said without a connection.";
    }
  })();
  return answered;
}

// within adds what the page itself was asked for, such as the rows of its chart.
function within(query: string): string {
  const all = new URLSearchParams(new URL(chart()!.dataset.asking!, location.href).search);
  for (const [name, value] of new URLSearchParams(query)) all.set(name, value);
  return String(all);
}

// mark shows which step is chosen, and makes it the one a Tab comes to.
function mark(): void {
  const step = new URLSearchParams(chosen).get("step");
  for (const bar of all<SVGAElement>("a[data-step]")) {
    if (bar.dataset.step === step) bar.setAttribute("aria-current", "true");
    else bar.removeAttribute("aria-current");
  }
}

function forget(): void {
  asking?.abort();
  chosen = "";
  mark();
  slot()?.replaceChildren();
}

function hold(bar: SVGAElement, event: PointerEvent | null): Held | null {
  const svg = bar.ownerSVGElement;
  if (!svg || "fixed" in bar.dataset) return null;
  const heads = all<SVGAElement>("a[data-day]", svg).map((h) => ({ day: h.dataset.day!, left: Number(h.dataset.left) }));
  const from = heads.findIndex((h) => h.day === bar.dataset.on);
  if (from < 0) return null;
  const shown = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
  return { bars: barsOf(bar.dataset.step!), step: bar.dataset.step!, heads, from, to: from, pointer: event && { id: event.pointerId, x: event.clientX, y: event.clientY, shown, moved: false } };
}

// carry puts a held step on the day of a head, and asks what that costs.
function carry(h: Held, to: number): void {
  to = Math.max(0, Math.min(h.heads.length - 1, to));
  for (const bar of h.bars) {
    bar.setAttribute("transform", `translate(${h.heads[to]!.left - h.heads[h.from]!.left} 0)`);
    bar.setAttribute("data-held", "");
  }
  if (to === h.to && chosen) return;
  h.to = to;
  const told = ask(to === h.from ? query("step", h) : query("move", h));
  if (!h.pointer) void told.then(() => reveal(h.bars[0]));
}

const query = (what: string, h: Held) => String(new URLSearchParams({ try: what, step: h.step, ...(what === "move" ? { day: h.heads[h.to]!.day } : {}) }));

// reveal slides the chart and the page so that a bar is not beyond the edge, nor behind the words
// about it.
function reveal(bar: SVGAElement | undefined): void {
  const run = bar?.closest(".scroll");
  if (!bar || !run) return;
  const room = 12; // px round it
  const across = bar.getBoundingClientRect();
  const frame = run.getBoundingClientRect();
  if (across.left < frame.left + room) run.scrollLeft += across.left - frame.left - room;
  else if (across.right > frame.right - room) run.scrollLeft += across.right - frame.right + room;
  const foot = slot()?.childElementCount ? slot()!.getBoundingClientRect().top : innerHeight;
  const box = bar.getBoundingClientRect();
  if (box.bottom > foot - room) scrollBy(0, box.bottom - foot + 3 * room);
  else if (box.top < 60) scrollBy(0, box.top - 60); // the names of the days
}

// stick keeps the names of the days in sight while the rows slide beneath.
function stick(): void {
  const heads = document.querySelector<SVGGElement>(".chart [data-heads]");
  const svg = heads?.ownerSVGElement;
  if (!heads || !svg) return;
  const box = svg.getBoundingClientRect();
  const down = Math.max(0, Math.min(-box.top, box.height - 100));
  heads.setAttribute("transform", `translate(0 ${down})`);
  heads.classList.toggle("stuck", down > 0);
}

function putBack(h: Held): void {
  for (const bar of h.bars) {
    bar.removeAttribute("transform");
    bar.removeAttribute("data-held");
  }
  document.dispatchEvent(new Event("board:let-go"));
}

// drop lets go of a step. Where its new day costs nothing, that is saved.
async function drop(): Promise<void> {
  const h = held;
  held = null;
  if (!h) return;
  if (h.to === h.from) return putBack(h);
  await answered;
  const form = slot()?.querySelector<HTMLFormElement>("form[data-deed]");
  if (form && !slot()!.querySelector("[data-costs]")) {
    putBack(h);
    form.requestSubmit();
    return;
  }
  const button = form?.querySelector<HTMLElement>("button") ?? slot()?.querySelector<HTMLElement>("[data-put-back]");
  button?.scrollIntoView({ block: "nearest" });
  button?.focus({ preventScroll: true });
}

function release(): void {
  const h = held;
  held = null;
  if (h) putBack(h);
  for (const bar of all<SVGAElement>("a[data-held]")) {
    bar.removeAttribute("transform");
    bar.removeAttribute("data-held");
  }
  document.dispatchEvent(new Event("board:let-go"));
}

// nearest is the bar within reach of a finger that no bar lies under.
function nearest(svg: SVGElement, x: number, y: number): SVGAElement | null {
  let best: SVGAElement | null = null;
  let least = 22; // px: half of the smallest target
  for (const bar of all<SVGAElement>("a[data-step]", svg)) {
    const box = bar.getBoundingClientRect();
    const away = Math.hypot(Math.max(box.left - x, 0, x - box.right), Math.max(box.top - y, 0, y - box.bottom));
    if (away < least) [best, least] = [bar, away];
  }
  return best;
}

// walk goes from bar to bar by keys: along a row, and to the nearest of the next one.
function walk(bar: SVGAElement, key: string): SVGAElement | null {
  const bars = all<SVGAElement>("a[data-step]");
  const row = Number(bar.dataset.row);
  const own = bars.filter((b) => Number(b.dataset.row) === row);
  if (key === "ArrowRight" || key === "ArrowLeft") return own[own.indexOf(bar) + (key === "ArrowRight" ? 1 : -1)] ?? null;
  const at = bar.getBoundingClientRect().left;
  const next = bars.filter((b) => Number(b.dataset.row) === row + (key === "ArrowDown" ? 1 : -1));
  return next.sort((a, b) => Math.abs(a.getBoundingClientRect().left - at) - Math.abs(b.getBoundingClientRect().left - at))[0] ?? null;
}

function one(list: SVGAElement[], stop: SVGAElement | undefined): void {
  for (const link of list) link.setAttribute("tabindex", link === stop ? "0" : "-1");
}

function stops(): void {
  const bars = all<SVGAElement>("a[data-step]");
  const heads = all<SVGAElement>("a[data-day]");
  one(bars, bars.find((b) => b === document.activeElement) ?? bars.find((b) => b.hasAttribute("aria-current")) ?? bars[0]);
  one(heads, heads.find((h) => h === document.activeElement) ?? heads[0]);
}

function keys(event: KeyboardEvent): void {
  if (event.key === "Escape" && (held || chosen)) {
    const step = new URLSearchParams(chosen).get("step");
    release();
    forget();
    if (step) barsOf(step)[0]?.focus();
    return;
  }
  const head = near<SVGAElement>(event, "a[data-day]");
  const bar = near<SVGAElement>(event, "a[data-step]");
  if ((!head && !bar) || event.ctrlKey || event.metaKey || event.altKey) return;
  const across = event.key === "ArrowLeft" ? -1 : event.key === "ArrowRight" ? 1 : 0;
  if (head && across) {
    event.preventDefault();
    const heads = all<SVGAElement>("a[data-day]");
    heads[heads.indexOf(head) + across]?.focus();
    return stops();
  }
  if (!bar) return;
  if (event.key === "Enter" || event.key === " ") {
    event.preventDefault();
    if (held && !held.pointer) return void drop();
    release();
    held = hold(bar, null);
    if (held) carry(held, held.from);
    else void ask(String(new URLSearchParams({ try: "step", step: bar.dataset.step! })));
  } else if (held && !held.pointer && across) {
    event.preventDefault();
    carry(held, held.to + across);
  } else if (event.key.startsWith("Arrow")) {
    event.preventDefault();
    if (held) return;
    walk(bar, event.key)?.focus();
    stops();
  }
}

function pointers(): void {
  document.addEventListener("pointerdown", (event) => {
    const bar = near<SVGAElement>(event, "a[data-step]");
    if (!bar || event.button !== 0 || held) return;
    // A finger slides the chart; it carries only the step that was chosen before.
    if (event.pointerType === "touch" && !bar.hasAttribute("aria-current")) return;
    release();
    held = hold(bar, event);
  });
  document.addEventListener("pointermove", (event) => {
    const p = held?.pointer;
    if (!held || p?.id !== event.pointerId) return;
    if (!p.moved && Math.abs(event.clientX - p.x) < 6) return;
    if (!p.moved) held.bars[0]!.ownerSVGElement!.setPointerCapture(event.pointerId);
    p.moved = true;
    const at = held.heads[held.from]!.left + (event.clientX - p.x) / p.shown + 12; // a little into the day is that day
    carry(held, held.heads.findLastIndex((h) => h.left <= at));
  });
  document.addEventListener("pointerup", (event) => {
    const p = held?.pointer;
    if (!held || p?.id !== event.pointerId) return;
    if (!p.moved) {
      held = null; // it was a click
      return;
    }
    void drop();
    const swallow = (click: Event) => {
      click.preventDefault();
      click.stopPropagation();
    };
    window.addEventListener("click", swallow, { capture: true });
    setTimeout(() => window.removeEventListener("click", swallow, { capture: true }), 0);
  });
  document.addEventListener("pointercancel", () => {
    if (held?.pointer) release();
  });
  document.addEventListener("dragstart", (event) => {
    if (near(event, ".chart svg")) event.preventDefault();
  });
}

// toNow slides the chart so that it begins a day before now.
function toNow(): void {
  const line = document.querySelector<SVGGElement>(".chart .now");
  const run = line?.closest(".scroll");
  if (run) run.scrollLeft += line!.getBoundingClientRect().left - run.getBoundingClientRect().left - 100;
}

export function days(): void {
  pointers();
  toNow();
  document.addEventListener("scroll", stick, { passive: true });
  document.addEventListener("keydown", keys);
  document.addEventListener("click", (event) => {
    if (event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey) return;
    if (near(event, "[data-put-back]") && chart()) {
      event.preventDefault();
      const step = new URLSearchParams(chosen).get("step");
      release();
      forget();
      if (step) barsOf(step)[0]?.focus();
      return;
    }
    const svg = near<SVGElement>(event, ".chart[data-try] svg");
    const link = near<Element>(event, "a[data-trying], a[data-day], a[data-step]") ?? (svg && nearest(svg, event.clientX, event.clientY));
    if (!link || !chart()) return;
    event.preventDefault();
    release();
    void ask(new URL(link.getAttribute("href")!, location.href).search.slice(1)).then(() => {
      if (!near(event, ".chart")) slot()?.scrollIntoView({ block: "nearest" });
      const step = new URLSearchParams(chosen).get("step");
      if (step && near(event, ".chart")) reveal(barsOf(step)[0]);
    });
  });
  document.addEventListener("submit", (event) => {
    const form = near<HTMLFormElement>(event, "form[data-trying]");
    if (!form || !chart()) return;
    event.preventDefault();
    void ask(String(new URLSearchParams(new FormData(form) as unknown as Record<string, string>)));
  });
  document.addEventListener("focusin", (event) => {
    const link = near<SVGAElement>(event, "a[data-step], a[data-day]");
    last = !link ? "" : link.dataset.step ? `a[data-step="${CSS.escape(link.dataset.step)}"]` : `a[data-day="${link.dataset.day}"]`;
  });
  // A chart that is laid anew has no step in hand; what was chosen is told again as it is now.
  after((renewed) => {
    if (!chart()) return;
    stick();
    held = null;
    if (last && document.activeElement === document.body) document.querySelector<SVGAElement>(last)?.focus({ preventScroll: true });
    stops();
    if (renewed) return mark();
    const step = new URLSearchParams(chosen).get("step");
    if (step && barsOf(step).length > 0) {
      void ask(String(new URLSearchParams({ try: "step", step })));
      if (document.activeElement === document.body) barsOf(step)[0]!.focus({ preventScroll: true });
    } else chosen = "";
  });
}
