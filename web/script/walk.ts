import { all, near } from "./dom";
import { settled } from "./save";

// walking makes Enter go from figure to figure, so that a measure that types its figures
// walks round the wall.
export function walking(): void {
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.isComposing) return;
    const field = near<HTMLInputElement>(event, "input.typed");
    if (!field?.form?.matches("[data-walk]")) return;
    event.preventDefault();
    const fields = all<HTMLInputElement>("input.typed:not([readonly])", field.form).filter((f) => f.offsetParent !== null);
    const next = fields[fields.indexOf(field) + 1];
    if (next) {
      next.focus();
      next.select();
      return;
    }
    field.blur();
    const on = document.querySelector<HTMLElement>("[data-walk-next]");
    on?.focus();
  });
  document.addEventListener("change", async (event) => {
    const picker = near<HTMLSelectElement>(event, "select[data-go]");
    const to = picker?.selectedOptions[0]?.dataset.href;
    if (!to) return;
    await settled(3000);
    location.assign(to);
  });
}
