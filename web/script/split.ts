import { near } from "./dom";

// splitting moves the plumb line that parts a picture by day from the one by lamp.
// The svg says data-split with the first and the last px of the wall; the clip of the
// left picture is a rect with data-split-clip, the line a g with data-split-handle.
function place(svg: SVGSVGElement, x: number): void {
  const [from, to] = svg.dataset.split!.split(" ").map(Number);
  const at = Math.min(to, Math.max(from, x));
  const clip = svg.querySelector("[data-split-clip]");
  const handle = svg.querySelector("[data-split-handle]");
  if (!clip || !handle) return;
  clip.setAttribute("width", String(at - Number(clip.getAttribute("x"))));
  handle.setAttribute("transform", `translate(${at} 0)`);
  handle.setAttribute("data-at", String(at));
  handle.setAttribute("aria-valuenow", String(Math.round(((at - from) / (to - from)) * 100)));
}

export function splitting(): void {
  let moving: SVGSVGElement | null = null;
  const px = (svg: SVGSVGElement, event: PointerEvent) => {
    const box = svg.getBoundingClientRect();
    return ((event.clientX - box.left) / box.width) * svg.viewBox.baseVal.width;
  };
  document.addEventListener("pointerdown", (event) => {
    const svg = near<SVGElement>(event, "[data-split-handle]")?.closest<SVGSVGElement>("svg[data-split]") ?? null;
    if (!svg) return;
    moving = svg;
    svg.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  document.addEventListener("pointermove", (event) => {
    if (moving) place(moving, px(moving, event));
  });
  document.addEventListener("pointerup", () => (moving = null));
  document.addEventListener("keydown", (event) => {
    const handle = near<SVGGElement>(event, "[data-split-handle]");
    const svg = handle?.closest<SVGSVGElement>("svg[data-split]");
    if (!handle || !svg) return;
    const [from, to] = svg.dataset.split!.split(" ").map(Number);
    const at = Number(handle.getAttribute("data-at") ?? (from + to) / 2);
    const next = { ArrowLeft: at - (to - from) / 20, ArrowRight: at + (to - from) / 20, Home: from, End: to }[event.key];
    if (next === undefined) return;
    event.preventDefault();
    place(svg, next);
  });
}
