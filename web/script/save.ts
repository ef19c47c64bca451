import { laid, near } from "./dom";

declare const htmx: { swap(what: { text: string; target: Element; swap: string; sourceElement: Element }): Promise<void> };

// One edit waiting to be saved. Edits go out one at a time, in order; a later edit of the
// same form takes the place of one that waits.
type Edit = { form: HTMLFormElement; id: string; action: string; body: URLSearchParams | FormData; act: boolean };

const waiting: Edit[] = [];
let sending: Edit | null = null;
let pause = 0;

export function pending(): boolean {
  return sending !== null || waiting.length > 0;
}

// settled resolves when nothing waits to be saved any more.
export async function settled(): Promise<void> {
  while (pending()) await new Promise((done) => setTimeout(done, 15));
}

export function saving(): void {
  document.addEventListener("change", (event) => {
    const field = event.target;
    if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement || field instanceof HTMLTextAreaElement)) return;
    const form = field.form;
    if (!form?.matches("form.edit") || form.matches("[data-add]") || field.matches("[data-go]") || !field.name) return;
    if (field.type === "file" || field.closest("[data-hold]")) return;
    queue(form, null);
  });
  document.addEventListener("submit", (event) => {
    const form = near<HTMLFormElement>(event, "form");
    if (!form?.matches("form.edit")) return;
    event.preventDefault();
    queue(form, (event as SubmitEvent).submitter);
  });
  document.addEventListener("click", (event) => {
    const link = near<HTMLAnchorElement | SVGAElement>(event, "a[href]");
    if (!link || event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    if (document.activeElement instanceof HTMLElement && document.activeElement.closest("form.edit")) document.activeElement.blur();
    if (!pending()) return;
    event.preventDefault(); // what was just typed is saved first
    void settled().then(() => location.assign(link.getAttribute("href")!));
  });
  window.addEventListener("online", () => void send());
  window.addEventListener("beforeunload", (event) => {
    if (pending()) event.preventDefault();
  });
  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z" || event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement) return;
    const button = document.querySelector<HTMLButtonElement>(event.shiftKey ? "[data-redo]" : "[data-undo]");
    if (button) {
      event.preventDefault();
      button.click();
    }
  });
}

// queue takes what stands in a form now.
export function queue(form: HTMLFormElement, submitter: HTMLElement | null): void {
  const data = new FormData(form, submitter);
  const body = form.enctype === "multipart/form-data" ? data : new URLSearchParams(data as unknown as Record<string, string>);
  const edit = { form, id: form.id, action: form.getAttribute("action") ?? "", body, act: data.has("act") || submitter !== null };
  const at = waiting.findIndex((w) => w.form === form && !w.act && !edit.act);
  if (at >= 0) waiting[at] = edit;
  else waiting.push(edit);
  void send();
}

async function send(): Promise<void> {
  if (sending || waiting.length === 0) return;
  const edit = (sending = waiting.shift()!);
  let answer: Response;
  let text: string;
  try {
    answer = await fetch(edit.action, { method: "POST", body: edit.body, headers: { "HX-Request": "true" } });
    text = await answer.text();
  } catch {
    waiting.unshift(edit);
    sending = null;
    pause = Math.min(pause ? pause * 2 : 1000, 15000);
    say("Not saved: no connection. It is tried again.");
    setTimeout(() => void send(), pause);
    return;
  }
  pause = 0;
  sending = null;
  if (answer.redirected && !text.includes('id="sheet"')) {
    location.assign(answer.url);
    return;
  }
  if (!text.includes('id="sheet"')) {
    const page = new DOMParser().parseFromString(text, "text/html");
    say("Not saved. " + (page.querySelector("main")?.textContent ?? "Load the page again.").replace(/\s+/g, " ").trim());
    return;
  }
  if (waiting.length === 0) await lay(text, edit, answer.ok);
  void send();
}

// lay puts the sheet of an answer over the one that is shown.
async function lay(text: string, edit: Edit, saved: boolean): Promise<void> {
  const sheet = document.getElementById("sheet");
  if (!sheet) return;
  const active = document.activeElement;
  await htmx.swap({ text: sheetOf(text), target: sheet, swap: "outerMorph", sourceElement: sheet });
  const fresh = document.getElementById("sheet")!;
  if (saved && edit.form.matches("[data-add]") && active instanceof HTMLInputElement && active.form === edit.form) active.value = active.defaultValue;
  if (fresh.dataset.title) document.title = fresh.dataset.title;
  if (fresh.dataset.here && fresh.dataset.here !== location.pathname + location.search) history.replaceState(null, "", fresh.dataset.here);
  say(saved ? "" : null);
  laid();
}

// sheetOf is the sheet of a whole page, or the text itself.
function sheetOf(text: string): string {
  if (!/^\s*<!doctype/i.test(text)) return text;
  return new DOMParser().parseFromString(text, "text/html").getElementById("sheet")?.outerHTML ?? text;
}

// say puts a line on the slip at the foot; "" takes it away.
export function say(line: string | null): void {
  const slip = document.getElementById("slip");
  if (!slip || line === null) return;
  slip.textContent = line;
  slip.hidden = line === "";
}
