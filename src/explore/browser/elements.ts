// Finding elements of the page, and putting words into them.

export const byId = (id: string): HTMLElement | null => document.getElementById(id)
export const all = <T extends Element>(selector: string, from: ParentNode = document): T[] => [
  ...from.querySelectorAll<T>(selector),
]

/** Puts a text into an element, unless it is there already: what does not change is not read out again. */
export function say(element: Element | null | undefined, text: string): void {
  if (element && element.textContent !== text) element.textContent = text
}
