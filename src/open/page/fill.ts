// What choosing a thing of the item table fills in.

/** A row of data/reference/items.csv, as far as the page needs it. */
export interface KnownItem {
  readonly id: string
  readonly label: string
  /** Other everyday words for it. */
  readonly also: readonly string[]
  readonly class: string
  readonly packing: string
  readonly ft3: number
  readonly massKg: number
}

/** The columns of inventory.csv that a known item fills. */
export function filledBy(item: KnownItem): Record<string, string> {
  const { id, label, packing } = item
  return { item: label, item_code: id, class: item.class, packing, take: 'ship', quantity: '1' }
}

/** How near a typed text is to an item's label and other words: 0 is not at all. */
function nearness({ label, also }: KnownItem, words: readonly string[]): number {
  const parts = [...label.toLowerCase().split(/[^\p{L}\d]+/u), ...also]
  if (!words.every((word) => parts.some((part) => part.startsWith(word)))) return 0
  const whole = words.filter((word) => parts.includes(word)).length
  return 1 + whole + 1 / (1 + parts.length)
}

/** Items whose labels have words that begin as the typed ones do, the nearest first. */
export function matching(items: readonly KnownItem[], typed: string, most = 8): KnownItem[] {
  const words = typed
    .toLowerCase()
    .split(/[^\p{L}\d]+/u)
    .filter(Boolean)
  if (words.length === 0) return []
  return items
    .map((item) => ({ item, near: nearness(item, words) }))
    .filter(({ near }) => near > 0)
    .sort((a, b) => b.near - a.near)
    .slice(0, most)
    .map(({ item }) => item)
}

/** A quick line: `4 dining chair` is four of the item that fits best. */
export function quickLine(items: readonly KnownItem[], typed: string): Record<string, string> | undefined {
  const match = /^\s*(?:(\d{1,4})\s*(?:x|\u00d7)?\s+)?(\S.*?)\s*$/u.exec(typed)
  if (!match) return undefined
  const [, quantity = '1', words = ''] = match
  const exact = items.find(({ label }) => label.toLowerCase() === words.toLowerCase())
  const [best] = exact ? [exact] : matching(items, words, 1)
  const filled = best ? filledBy(best) : { item: words, class: 'other', packing: 'none', take: 'ship' }
  return { ...filled, quantity }
}
