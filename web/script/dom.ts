// after runs something now and whenever the sheet was laid anew; renewed tells that nobody
// edited, and the same page came again.
export function after(run: (renewed: boolean) => void): void {
  run(false);
  document.addEventListener("board:laid", (event) => run((event as CustomEvent<boolean>).detail));
}

export function laid(renewed = false): void {
  document.dispatchEvent(new CustomEvent("board:laid", { detail: renewed }));
}

// near finds the element round the place of an event.
export function near<T extends Element>(event: Event, selector: string): T | null {
  return event.target instanceof Element ? event.target.closest<T>(selector) : null;
}

export function all<T extends Element>(selector: string, within: ParentNode = document): T[] {
  return [...within.querySelectorAll<T>(selector)];
}
