import { all, near } from "./dom";

// trying shows colours while they are being chosen, before they are saved: the server
// paints the picture, the newest wish wins, and at most one is under way.
let busy = false;
let wished: HTMLFormElement | null = null;
let still = 0;
let sheets = 0; // laid so far: a picture asked for before the last one is not shown any more

function query(form: HTMLFormElement): string {
  return new URLSearchParams(new FormData(form) as unknown as Record<string, string>).toString();
}

async function show(form: HTMLFormElement, quick: boolean): Promise<void> {
  if (busy) {
    wished = form;
    return;
  }
  busy = true;
  const sheet = sheets;
  try {
    await Promise.all(
      all<SVGImageElement | HTMLImageElement>("[data-try-picture]").filter((p) => p.getClientRects().length > 0).map(async (picture) => {
        const answer = await fetch(`${form.dataset.try}?${query(form)}&${picture.getAttribute("data-try-picture")}${quick ? "&quick=1" : ""}`);
        if (!answer.ok) return;
        const url = URL.createObjectURL(await answer.blob());
        const ready = new Image();
        ready.src = url;
        await ready.decode(); // so that nothing blinks
        if (sheet !== sheets) return URL.revokeObjectURL(url);
        const old = picture.getAttribute(picture instanceof SVGElement ? "href" : "src") ?? "";
        picture.setAttribute(picture instanceof SVGElement ? "href" : "src", url);
        if (old.startsWith("blob:")) setTimeout(() => URL.revokeObjectURL(old), 1000);
      }),
    );
    const words = document.querySelector("[data-try-words]");
    if (words && !wished && !quick && sheet === sheets) {
      const answer = await fetch(`${form.dataset.try}/words?${query(form)}`);
      if (answer.ok && !wished && sheet === sheets) words.innerHTML = await answer.text();
    }
  } catch {
    // without a connection the picture stays as it is; saving says so
  } finally {
    busy = false;
  }
  const next = wished;
  wished = null;
  clearTimeout(still);
  if (next) void show(next, true);
  else if (quick) still = window.setTimeout(() => void show(form, false), 250); // sharp once the hand is still
}

export function trying(): void {
  document.addEventListener("board:laid", () => {
    sheets++;
    clearTimeout(still);
  });
  document.addEventListener("input", (event) => {
    const field = event.target;
    const form = field instanceof HTMLInputElement ? field.form : near<HTMLFormElement>(event, "form");
    if (form?.matches("[data-try]") && field instanceof HTMLInputElement && field.type === "color") void show(form, true);
  });
}
