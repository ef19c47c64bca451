import { all, near } from "./dom";

// trying shows colours while they are being chosen, before they are saved: the server
// paints the picture, the newest wish wins, and at most one is under way.
let busy = false;
let wished: HTMLFormElement | null = null;

function query(form: HTMLFormElement): string {
  return new URLSearchParams(new FormData(form) as unknown as Record<string, string>).toString();
}

async function show(form: HTMLFormElement): Promise<void> {
  if (busy) {
    wished = form;
    return;
  }
  busy = true;
  try {
    await Promise.all(
      all<SVGImageElement | HTMLImageElement>("[data-try-picture]").map(async (picture) => {
        const answer = await fetch(`${form.dataset.try}?${query(form)}&${picture.getAttribute("data-try-picture")}`);
        if (!answer.ok) return;
        const url = URL.createObjectURL(await answer.blob());
        const old = picture.getAttribute(picture instanceof SVGElement ? "href" : "src") ?? "";
        picture.setAttribute(picture instanceof SVGElement ? "href" : "src", url);
        if (old.startsWith("blob:")) setTimeout(() => URL.revokeObjectURL(old), 1000);
      }),
    );
    const words = document.querySelector("[data-try-words]");
    if (words && !wished) {
      const answer = await fetch(`${form.dataset.try}/words?${query(form)}`);
      if (answer.ok && !wished) words.innerHTML = await answer.text();
    }
  } catch {
    // without a connection the picture stays as it is; saving says so
  } finally {
    busy = false;
  }
  const next = wished;
  wished = null;
  if (next) void show(next);
}

export function trying(): void {
  document.addEventListener("input", (event) => {
    const field = event.target;
    const form = field instanceof HTMLInputElement ? field.form : near<HTMLFormElement>(event, "form");
    if (form?.matches("[data-try]")) void show(form);
  });
}
