import { after, all } from "./dom";

// progress follows long work: data-progress is the address of its stream, data-done
// where to go when it is finished.
export function progress(): void {
  after(() => {
    for (const box of all<HTMLElement>("[data-progress]:not([data-followed])")) {
      box.setAttribute("data-followed", "");
      const stream = new EventSource(box.dataset.progress!);
      stream.onmessage = (event) => {
        const now = JSON.parse(event.data) as { state: string; done: number; all: number; what: string };
        const bar = box.querySelector("progress");
        if (bar && now.all > 0) {
          bar.max = now.all;
          bar.value = now.done;
        }
        const words = box.querySelector("[data-progress-words]");
        if (words) words.textContent = now.what;
        if (["done", "failed", "cancelled"].includes(now.state)) {
          stream.close();
          location.assign(box.dataset.done ?? location.href);
        }
      };
    }
  });
}
