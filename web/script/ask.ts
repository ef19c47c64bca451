import { all, near } from "./dom";

// asking answers a question as it is changed: the page of the new question is fetched, and
// what answers in it takes the place of what answered before. The form itself stays, so that
// a hand on a slider is not disturbed. Without script the form is sent.
let under: AbortController | null = null;
let waits = 0;

async function ask(form: HTMLFormElement): Promise<void> {
  under?.abort();
  under = new AbortController();
  const address = `${form.getAttribute("action")}?${new URLSearchParams(new FormData(form) as unknown as Record<string, string>).toString()}`;
  try {
    const answer = await fetch(address, { signal: under.signal });
    if (!answer.ok) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    for (const old of all<HTMLElement>("[data-answer]")) {
      const fresh = page.getElementById(old.id);
      if (!fresh) continue;
      const open = all<HTMLDetailsElement>("details", old).map((d) => d.open);
      all<HTMLDetailsElement>("details", fresh).forEach((d, i) => (d.open = open[i] ?? false));
      old.replaceChildren(...fresh.childNodes);
    }
    history.replaceState(history.state, "", address);
  } catch {
    // another question is under way, or there is no connection: the answer stays as it is
  }
}

export function asking(): void {
  document.addEventListener("input", (event) => {
    const form = near<HTMLFormElement>(event, "form[data-ask]");
    if (!form) return;
    if (event.target instanceof HTMLInputElement && event.target.type === "range") {
      for (const out of all<HTMLOutputElement>(`output[for="${event.target.id}"]`, form)) out.textContent = event.target.value + (out.dataset.unit ?? "");
    }
    clearTimeout(waits);
    waits = window.setTimeout(() => void ask(form), 60);
  });
  document.addEventListener("submit", (event) => {
    const form = near<HTMLFormElement>(event, "form[data-ask]");
    if (!form) return;
    event.preventDefault();
    void ask(form);
  });
}
