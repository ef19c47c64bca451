import { all, near } from "./dom";

// menus closes what is open when one looks elsewhere, and opens dialogs.
export function menus(): void {
  document.addEventListener("click", (event) => {
    for (const menu of all<HTMLDetailsElement>("details.new[open]")) {
      if (!(event.target instanceof Node && menu.contains(event.target))) menu.open = false;
    }
    const id = near<HTMLElement>(event, "[data-dialog]")?.dataset.dialog;
    const dialog = id ? document.getElementById(id) : null;
    if (dialog instanceof HTMLDialogElement) dialog.showModal();
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    for (const menu of all<HTMLDetailsElement>("details.new[open]")) {
      menu.open = false;
      menu.querySelector("summary")?.focus();
    }
  });
}
