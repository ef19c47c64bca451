import { after } from "./dom";
import { renew } from "./save";

// looking follows the search for a better programme that the page speaks of: its words, and
// the page anew with each better one. It lets go of the search when the page is left, when
// somebody edits, and when it is told to; a search nobody follows ends.
const patience = 1500; // ms from one better programme to the next that is shown (own default)
let stream: EventSource | null = null;
let followed = "";

const stopped = (address: string) => sessionStorage.getItem("stopped") === address;

function leave(): void {
  stream?.close();
  stream = null;
  followed = "";
}

function follow(): void {
  const box = document.querySelector<HTMLElement>("[data-look]");
  const address = box?.dataset.look ?? "";
  if (!box) return leave();
  if (stopped(address)) { // also when the page comes anew with what was found just before
    leave();
    return sayStopped();
  }
  part<HTMLElement>("[data-look-stop]")?.removeAttribute("hidden");
  part<HTMLElement>("[data-look-long]")?.setAttribute("hidden", "");
  if (address === followed) return;
  leave();
  followed = address;
  let better = 0;
  let renewed = 0;
  stream = new EventSource(address);
  stream.onmessage = (event) => {
    const now = JSON.parse(event.data) as { state: string; done: number; what: string };
    const words = part<HTMLElement>("[data-look-words]");
    if (words && now.what) words.textContent = now.what;
    if (now.state === "waiting" && words) words.textContent = "Others are looked for first; then a better programme of this job.";
    if (now.state === "failed" && words) words.textContent = "No better programme could be looked for. What is shown can be worked to.";
    if (now.state !== "waiting" && now.state !== "running") leave();
    if (now.state === "done" || (now.done > better && Date.now() - renewed > patience)) {
      better = now.done;
      renewed = Date.now();
      void renew();
    }
  };
}

function sayStopped(): void {
  const words = part<HTMLElement>("[data-look-words]");
  if (words) words.textContent = "Stopped. The programme that is shown is the best so far.";
  part<HTMLElement>("[data-look-stop]")?.setAttribute("hidden", "");
  part<HTMLElement>("[data-look-long]")?.removeAttribute("hidden");
}

function part<T extends Element>(selector: string): T | null {
  return document.querySelector<T>(`[data-look] ${selector}`);
}

export function looking(): void {
  after(follow);
  document.addEventListener("board:saving", leave);
  document.addEventListener("click", (event) => {
    if (!(event.target instanceof Element) || !event.target.closest("[data-look-stop]")) return;
    sessionStorage.setItem("stopped", followed);
    leave();
    sayStopped();
    part<HTMLElement>("[data-look-long]")?.focus();
  });
}
