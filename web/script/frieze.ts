import { after, all, near } from "./dom";

// frieze makes the walls of a frieze one stop of the Tab key; arrow keys walk them.
export function frieze(): void {
  after(() => {
    for (const run of all<HTMLElement>(".frieze-run")) {
      const walls = all<SVGAElement>("a[data-wall]", run);
      const here = walls.find((w) => w.hasAttribute("aria-current")) ?? walls[0];
      for (const w of walls) w.setAttribute("tabindex", w === here ? "0" : "-1");
      if (here?.hasAttribute("aria-current")) reveal(run, here);
    }
  });
  document.addEventListener("keydown", (event) => {
    const wall = near<SVGAElement>(event, "a[data-wall]");
    const run = wall?.closest<HTMLElement>(".frieze-run");
    if (!wall || !run) return;
    const walls = all<SVGAElement>("a[data-wall]", run);
    const at = walls.indexOf(wall);
    const to = { ArrowLeft: at - 1, ArrowRight: at + 1, Home: 0, End: walls.length - 1 }[event.key];
    if (to === undefined || !walls[to]) return;
    event.preventDefault();
    for (const w of walls) w.setAttribute("tabindex", w === walls[to] ? "0" : "-1");
    walls[to].focus();
    reveal(run, walls[to]);
  });
}

// reveal slides the run until a wall is seen whole.
function reveal(run: HTMLElement, wall: Element): void {
  const frame = run.getBoundingClientRect();
  const box = (wall.querySelector(".hit") ?? wall).getBoundingClientRect();
  const room = 24;
  if (box.left < frame.left + room) run.scrollLeft -= frame.left + room - box.left;
  else if (box.right > frame.right - room) run.scrollLeft += box.right - frame.right + room;
}
