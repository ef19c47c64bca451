// after runs something now and whenever the sheet was laid anew.
export function after(run: () => void): void {
  run();
  document.addEventListener("board:laid", run);
}

export function laid(): void {
  document.dispatchEvent(new Event("board:laid"));
}

// near finds the element round the place of an event.
export function near<T extends Element>(event: Event, selector: string): T | null {
  return event.target instanceof Element ? event.target.closest<T>(selector) : null;
}

export function all<T extends Element>(selector: string, within: ParentNode = document): T[] {
  return [...within.querySelectorAll<T>(selector)];
}
