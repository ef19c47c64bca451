import { all, near } from "./dom";

// splitting moves the plumb line that parts a picture by day from the one by lamp.
// The svg says data-split with the first and the last px of the wall; the clip of the
// left picture is a rect with data-split-clip, the line a g with data-split-handle.
let share: number | null = null; // of the wall to the left of the line, once it was moved

function ends(svg: SVGSVGElement): [number, number] {
  const [from, to] = svg.dataset.split!.split(" ").map(Number);
  return [from, to];
}

function place(svg: SVGSVGElement, part: number): void {
  const [from, to] = ends(svg);
  share = Math.min(1, Math.max(0, part));
  const at = from + (to - from) * share;
  const clip = svg.querySelector("[data-split-clip]");
  const handle = svg.querySelector("[data-split-handle]");
  if (!clip || !handle) return;
  clip.setAttribute("width", String(at - Number(clip.getAttribute("x"))));
  handle.setAttribute("transform", `translate(${at} 0)`);
  handle.setAttribute("aria-valuenow", String(Math.round(share * 100)));
}

export function splitting(): void {
  let moving: SVGSVGElement | null = null;
  document.addEventListener("pointerdown", (event) => {
    const svg = near<SVGElement>(event, "[data-split-handle]")?.closest<SVGSVGElement>("svg[data-split]") ?? null;
    if (!svg) return;
    moving = svg;
    svg.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  document.addEventListener("pointermove", (event) => {
    if (!moving) return;
    const box = moving.getBoundingClientRect();
    const [from, to] = ends(moving);
    const x = ((event.clientX - box.left) / box.width) * moving.viewBox.baseVal.width;
    place(moving, (x - from) / (to - from));
  });
  for (const end of ["pointerup", "pointercancel"]) document.addEventListener(end, () => (moving = null));
  document.addEventListener("keydown", (event) => {
    const svg = near<SVGElement>(event, "[data-split-handle]")?.closest<SVGSVGElement>("svg[data-split]");
    if (!svg) return;
    const now = share ?? 0.5;
    const next = { ArrowLeft: now - 0.05, ArrowDown: now - 0.05, ArrowRight: now + 0.05, ArrowUp: now + 0.05, Home: 0, End: 1 }[event.key];
    if (next === undefined) return;
    event.preventDefault();
    place(svg, next);
  });
  // A fresh sheet has the line in the middle again.
  document.addEventListener("board:laid", () => {
    if (share !== null) for (const svg of all<SVGSVGElement>("svg[data-split]")) place(svg, share);
  });
}
