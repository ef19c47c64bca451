import { after, all } from "./dom";
import { renew } from "./save";

const followed = new WeakMap<HTMLElement, string>(); // an element may come to stand for other work

// progress follows long work: data-progress is the address of its stream, data-done
// where to go when it is finished; with data-anew the page is laid anew.
export function progress(): void {
  after(() => {
    for (const box of all<HTMLElement>("[data-progress]")) {
      if (followed.get(box) !== box.dataset.progress) follow(box);
      followed.set(box, box.dataset.progress!);
    }
  });
}

function follow(box: HTMLElement): void {
  const say = (line: string) => {
    const words = box.querySelector("[data-progress-words]");
    if (words) words.textContent = line;
  };
  const stream = new EventSource(box.dataset.progress!);
  stream.onerror = () => {
    if (stream.readyState === EventSource.CLOSED) say("How far it is cannot be seen any more. Load the page again.");
  };
  stream.onmessage = (event) => {
    if (!box.isConnected || !stream.url.endsWith(box.dataset.progress ?? "")) return stream.close();
    const now = JSON.parse(event.data) as { state: string; done: number; all: number; what: string };
    const bar = box.querySelector("progress");
    if (bar && now.all > 0) {
      bar.max = now.all;
      bar.value = now.done;
    }
    say(now.what);
    if (["done", "failed", "cancelled"].includes(now.state)) {
      stream.close();
      if ("anew" in box.dataset) void renew();
      else location.assign(box.dataset.done ?? location.href);
    }
  };
}
