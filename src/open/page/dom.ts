// Elements of the page. Text goes in as text, so nothing that a household types is ever markup.

type Child = Node | string | undefined | false
type Attributes = Readonly<Record<string, string | number | boolean | undefined | ((event: Event) => void)>>

/** An element with attributes, listeners (`onclick`) and children. */
export function el<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...children: readonly Child[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(tag)
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === false) continue
    if (typeof value === 'function') made.addEventListener(name.slice(2), value)
    else made.setAttribute(name, value === true ? '' : String(value))
  }
  made.append(...children.filter((child): child is Node | string => child !== undefined && child !== false))
  return made
}

/** Gives an element other children, where they differ. */
export function refill(parent: Element, ...children: readonly Child[]): void {
  parent.replaceChildren(
    ...children.filter((child): child is Node | string => child !== undefined && child !== false),
  )
}

/** Sets a text only where it differs, so that a reader's place is kept. */
export function setText(node: Element, text: string): void {
  if (node.textContent !== text) node.textContent = text
}

let ids = 0
/** An id that no other element of the page has. */
export const freshId = (start: string): string => {
  ids += 1
  return `${start}-${ids}`
}

/** A button that does something. */
export const button = (label: string, act: () => void, attributes: Attributes = {}): HTMLButtonElement =>
  el('button', { type: 'button', onclick: act, ...attributes }, label)

/** A choice among words; the value of the first is ''. */
export function select(
  label: string,
  options: readonly (readonly [value: string, text: string])[],
  value: string,
  change: (value: string) => void,
): HTMLSelectElement {
  const made = el(
    'select',
    { 'aria-label': label },
    ...options.map(([v, text]) => el('option', { value: v }, text)),
  )
  if (!options.some(([v]) => v === value)) made.append(el('option', { value }, value))
  made.value = value
  made.addEventListener('change', () => change(made.value))
  return made
}

const spoken = el('div', { class: 'said', role: 'status', 'aria-live': 'polite' })

/** Says a sentence to those who listen to the page. */
export function say(text: string): void {
  if (!spoken.isConnected) document.body.append(spoken)
  setText(spoken, text)
}
