import { laid, near } from "./dom";

declare const htmx: { swap(what: { text: string; target: Element; swap: string; sourceElement: Element }): Promise<void> };

// One edit waiting to be saved. names are the fields that were changed; nothing else of
// the job is sent, so that what another wrote in the same form meanwhile stays.
type Edit = { form: HTMLFormElement; action: string; body: URLSearchParams | FormData; names: string[]; clashes: number; at: number };

const waiting: Edit[] = [];
let sending: Edit | null = null;
let pause = 0;
let timer = 0;
let clashes = 0;
let pressed = false; // a finger or a button of the mouse is down

// The revision in which this page last saved a field, so that one person does not clash
// with oneself, and the revisions it made by setting fields.
const own = new Map<string, number>();
const made = new Set<number>();

// What the field in hand showed when it was entered. A sheet that is laid meanwhile
// leaves that field alone, so its edit still belongs to that revision.
let entered: { field: HTMLInputElement; value: string; kept: string; revision: number } | null = null;

// Answers after which the same edit may yet be saved: signed out, too many requests, the
// program away, the disk full.
const again = [401, 429, 502, 503, 504, 507];

const ofJob = (name: string) => name.startsWith("set:") || name.startsWith("list:");

const revisionOf = (form: HTMLFormElement) => Number(form.querySelector<HTMLInputElement>('input[name="revision"]')?.value);

function pending(): boolean {
  return sending !== null || waiting.length > 0;
}

// settled resolves when nothing waits to be saved any more, or after ms.
export async function settled(ms: number): Promise<void> {
  for (const end = Date.now() + ms; pending() && Date.now() < end; ) await new Promise((done) => setTimeout(done, 15));
}

// unsaved reports whether leaving would lose something.
function unsaved(): boolean {
  const fields = [...document.querySelectorAll<HTMLInputElement>("form.edit input.typed")];
  return pending() || fields.some((f) => f.value.trim() !== f.defaultValue.trim());
}

export function saving(): void {
  document.addEventListener("change", (event) => {
    const field = event.target;
    if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement || field instanceof HTMLTextAreaElement)) return;
    const form = field.form;
    if (!form?.matches("form.edit:not([data-add])") || field.matches("[data-go]") || !field.name || field.type === "file") return;
    changed(form, [field.name]);
  });
  document.addEventListener("submit", (event) => {
    const form = near<HTMLFormElement>(event, "form");
    if (!form?.matches("form.edit")) return;
    event.preventDefault();
    const data = new FormData(form, event.submitter);
    queue({ form, action: actionOf(form), body: form.enctype === "multipart/form-data" ? data : plain([...data]), names: [], clashes, at: Date.now() });
  });
  document.addEventListener("focusin", (event) => {
    const field = event.target;
    entered = field instanceof HTMLInputElement && field.form ? { field, value: field.value, kept: field.defaultValue, revision: revisionOf(field.form) } : null;
  });
  document.addEventListener("focusout", () => {
    if (entered && entered.field.value === entered.value && entered.field.defaultValue !== entered.kept) entered.field.value = entered.field.defaultValue;
  });
  document.addEventListener("pointerdown", () => (pressed = true), true);
  for (const up of ["pointerup", "pointercancel"]) document.addEventListener(up, () => setTimeout(() => (pressed = false), 0), true);
  window.addEventListener("online", () => void send());
  window.addEventListener("beforeunload", (event) => {
    if (unsaved()) event.preventDefault();
  });
}

const actionOf = (form: HTMLFormElement) => form.getAttribute("action") ?? "";

function plain(entries: [string, FormDataEntryValue][]): URLSearchParams {
  return new URLSearchParams(entries.map(([name, value]) => [name, String(value)]));
}

// changed saves fields of a form by their names, as they stand now.
export function changed(form: HTMLFormElement, names: string[]): void {
  const body = plain([...new FormData(form)].filter(([name]) => names.includes(name) || !ofJob(name)));
  const from = entered && names.includes(entered.field.name) ? entered.revision : revisionOf(form);
  body.set("revision", String(Math.max(from, ...names.map((n) => own.get(n) ?? 0))));
  queue({ form, action: actionOf(form), body, names, clashes, at: Date.now() });
}

// queue puts an edit behind those that wait; they go out one at a time, in order. A later
// value of the same field takes the place of one that waits, and what is pressed twice
// counts once.
function queue(edit: Edit): void {
  const alike = (w: Edit) => w.form === edit.form && w.names.join("\n") === edit.names.join("\n");
  const at = waiting.findIndex((w) => edit.names.length > 0 && alike(w));
  const last = waiting.at(-1) ?? sending;
  if (at >= 0) waiting[at] = edit;
  else if (edit.names.length > 0 || !last || !alike(last) || edit.body instanceof FormData || String(last.body) !== String(edit.body)) waiting.push(edit);
  document.dispatchEvent(new Event("board:saving"));
  void send();
}

async function send(): Promise<void> {
  if (sending || waiting.length === 0) return;
  clearTimeout(timer);
  const edit = (sending = waiting.shift()!);
  const late = edit.body instanceof FormData ? null : AbortSignal.timeout(30000); // a file may take its time
  let answer: Response;
  let text: string;
  try {
    answer = await fetch(edit.action, { method: "POST", body: edit.body, headers: { "HX-Request": "true", Waited: String(Math.round((Date.now() - edit.at) / 1000)) }, signal: late });
    text = await answer.text();
  } catch {
    return later(edit, "Not saved: no connection. It is tried again.");
  }
  if (again.includes(answer.status)) return later(edit, refusal(text));
  pause = 0;
  sending = null;
  if (!text.includes('id="sheet"')) {
    if (answer.redirected) return location.assign(answer.url);
    say(refusal(text));
    return void send();
  }
  say("");
  if (answer.ok) saved(edit, text);
  if (waiting.length === 0 || !answer.ok) await lay(text, edit, answer.ok);
  void send();
}

// later puts an edit back in front, unless a newer value of the same field waits.
function later(edit: Edit, words: string): void {
  sending = null;
  const newer = edit.names.length > 0 && waiting.some((w) => w.form === edit.form && w.names.join("\n") === edit.names.join("\n"));
  if (!newer) waiting.unshift(edit);
  pause = Math.min(pause ? pause * 2 : 1000, 15000);
  timer = window.setTimeout(() => void send(), pause);
  say(words);
}

// saved notes in which revision fields were saved; what waits for the same fields follows
// it. Not where others came between: then the same path may mean something else.
function saved(edit: Edit, text: string): void {
  const revision = Number(/name="revision" value="(\d+)"/.exec(text)?.[1]);
  if (!revision || edit.names.length === 0) return;
  made.add(revision);
  for (let r = Number(edit.body.get("revision")) + 1; r < revision; r++) if (!made.has(r)) return;
  for (const name of edit.names) own.set(name, revision);
  for (const w of waiting) if (w.names.some((n) => edit.names.includes(n))) w.body.set("revision", String(revision));
}

// refusal is what a page without a sheet says.
function refusal(text: string): string {
  const page = new DOMParser().parseFromString(text, "text/html");
  const words = page.querySelector("main .notice") ?? page.querySelector("main");
  return "Not saved. " + (words?.textContent ?? "Load the page again.").replace(/\s+/g, " ").trim();
}

// lay puts the sheet of an answer over the one that is shown.
async function lay(text: string, edit: Edit, ok: boolean): Promise<void> {
  const sheet = document.getElementById("sheet");
  if (!sheet) return;
  const clash = edit.clashes < clashes ? sheet.querySelector("main > [role=alert]")?.cloneNode(true) : null;
  await over(text, false);
  const fresh = document.getElementById("sheet")!;
  // An edit that was on its way before a clash was shown does not take it away.
  if (!ok) clashes++;
  else if (clash && !fresh.querySelector("main > [role=alert]")) fresh.querySelector("main")?.prepend(clash);
  if (ok && edit.form.matches("[data-add]")) {
    // elements also has the fields that stand elsewhere and name this form.
    for (const f of edit.form.elements) if (f instanceof HTMLInputElement && f.matches("input.typed") && edit.body.get(f.name) === f.value) f.value = f.defaultValue; // ready for the next one
  }
  if (fresh.dataset.title) document.title = fresh.dataset.title;
  if (fresh.dataset.here && fresh.dataset.here !== location.pathname + location.search) history.replaceState(null, "", fresh.dataset.here);
  laid();
}

// renew lays this very page anew, as it is now. What is being typed stays, and while an edit is
// on its way nothing is done: its answer is the page as it is then.
export async function renew(): Promise<void> {
  if (pending()) return;
  try {
    const answer = await fetch(location.href, { headers: { "HX-Request": "true" } });
    const text = await answer.text();
    for (const end = Date.now() + 5000; pressed && Date.now() < end; ) await new Promise((done) => setTimeout(done, 20)); // what is pressed is not taken from under the hand
    if (pending() || !answer.ok) return;
    if (document.querySelector("[data-held]")) return void document.addEventListener("board:let-go", () => void renew(), { once: true });
    await over(text, true);
    laid(true);
  } catch {
    // without a connection the page stays as it is
  }
}

// over lays a sheet over the one that is shown. What is folded open stays so; answers that are on
// this page alone stay where the same page came again.
async function over(text: string, renewed: boolean): Promise<void> {
  const sheet = document.getElementById("sheet");
  if (!sheet) return;
  text = sheetOf(text);
  const answers = renewed ? [...sheet.querySelectorAll("[data-keeps]")].filter((kept) => kept.innerHTML !== "") : [];
  if (answers.length > 0) {
    const page = new DOMParser().parseFromString(text, "text/html");
    for (const kept of answers) {
      const fresh = page.getElementById(kept.id);
      if (fresh) fresh.innerHTML = kept.innerHTML;
    }
    text = page.getElementById("sheet")!.outerHTML;
  }
  const open = [...sheet.querySelectorAll("details")].map((d) => d.open);
  await htmx.swap({ text, target: sheet, swap: "outerMorph", sourceElement: sheet });
  const fresh = [...document.querySelectorAll<HTMLDetailsElement>("#sheet details")];
  if (fresh.length === open.length) fresh.forEach((d, i) => (d.open = open[i]!));
  follow();
}

// follow shows choices as the sheet has them: once somebody has chosen in a page, its
// boxes and lists no longer do so by themselves.
function follow(): void {
  for (const form of document.querySelectorAll<HTMLFormElement>("form.edit:not([data-add])")) {
    for (const field of form.elements) {
      if (field === document.activeElement || !ofJob((field as HTMLInputElement).name ?? "")) continue;
      if (field instanceof HTMLInputElement && (field.type === "checkbox" || field.type === "radio")) field.checked = field.defaultChecked;
      else if (field instanceof HTMLSelectElement) for (const o of field.options) o.selected = o.defaultSelected;
    }
  }
}

// sheetOf is the sheet of a whole page, or the text itself.
function sheetOf(text: string): string {
  if (!/^\s*<!doctype/i.test(text)) return text;
  return new DOMParser().parseFromString(text, "text/html").getElementById("sheet")?.outerHTML ?? text;
}

// say puts a line on the slip at the foot; "" takes it away.
function say(line: string): void {
  const slip = document.getElementById("slip");
  if (!slip) return;
  slip.textContent = line;
  slip.hidden = line === "";
}

// leaving lets what was just typed be saved before another page is opened, and before
// something is undone.
export function leaving(): void {
  const leaveField = () => {
    if (document.activeElement instanceof HTMLElement && document.activeElement.closest("form.edit")) document.activeElement.blur();
  };
  document.addEventListener("click", (event) => {
    const link = near<Element>(event, "a[href]:not([target])");
    if (!link || event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    const to = new URL(link.getAttribute("href")!, location.href);
    if (to.origin !== location.origin || (to.hash && to.href.split("#")[0] === location.href.split("#")[0])) return;
    leaveField();
    if (!pending()) return;
    event.preventDefault();
    void settled(3000).then(() => location.assign(to));
  });
  document.addEventListener("submit", (event) => {
    if (event.defaultPrevented || !(event.target instanceof HTMLFormElement)) return;
    leaveField();
    if (!pending()) return;
    const form = event.target;
    const by = event.submitter;
    event.preventDefault();
    void settled(3000).then(() => {
      if (pending()) return; // the slip says what is not saved
      if (form.isConnected) form.requestSubmit(by?.isConnected ? by : null);
    });
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
