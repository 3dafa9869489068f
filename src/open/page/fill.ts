// What choosing a thing of the item table fills in, and what each room is begun with.

/** A row of data/reference/items.csv, as far as the page needs it. */
export interface KnownItem {
  readonly id: string
  readonly label: string
  readonly group: string
  readonly ft3: number
  readonly massKg: number
}

/** Goods class and packing by group of the item table. Common practice, no source; both can be changed on the page. */
const BY_GROUP: Readonly<Record<string, readonly [goodsClass: string, packing: string]>> = {
  seating: ['furniture', 'wrapped'],
  storage: ['furniture', 'wrapped'],
  tables: ['furniture', 'wrapped'],
  office: ['furniture', 'wrapped'],
  beds: ['furniture', 'wrapped'],
  decor: ['furniture', 'wrapped'],
  electronics: ['electronics', 'wrapped'],
  appliances: ['appliance', 'wrapped'],
  music: ['instrument', 'wrapped'],
  garden: ['garden', 'none'],
  workshop: ['tools', 'none'],
  leisure: ['sports', 'none'],
  luggage: ['other', 'none'],
  children: ['furniture', 'wrapped'],
}

/** Items that customs or packers treat otherwise than their group. */
const BY_ID: readonly (readonly [RegExp, readonly [goodsClass: string, packing: string]])[] = [
  [/^rug-/, ['carpet', 'none']],
  [/lamp/, ['lamps', 'wrapped']],
  [/^chandelier/, ['lamps', 'crated']],
  [/^mirror/, ['glassware', 'picture']],
  [/^picture/, ['art', 'picture']],
  [/^sculpture/, ['art', 'crated']],
  [/^tv-boxed/, ['television', 'tv']],
  [/^piano/, ['piano', 'wrapped']],
  [/^(bicycle)/, ['bicycle', 'wrapped']],
  [/^e-(bicycle|scooter)/, ['ebike', 'wrapped']],
  [/^vacuum/, ['vacuum', 'wrapped']],
  [/^mattress/, ['bedding', 'wrapped']],
  [/^(pram|child-car-seat)/, ['pram', 'none']],
  [/^(rocking-horse|dolls-house|toy-kitchen)/, ['toys', 'none']],
  [/^tyre/, ['tyre', 'none']],
  [/^motorcycle/, ['motorcycle', 'crated']],
  [/^garden-(table|chair|bench|swing)|^parasol/, ['outdoor-furniture', 'none']],
  [/^(printer|computer)/, ['electronics', 'electronics']],
  [/^surfboard|^kayak/, ['fishing', 'none']],
]

/** The columns of inventory.csv that a known item fills. */
export function filledBy(item: KnownItem): Record<string, string> {
  const [goodsClass, packing] = BY_ID.find(([is]) => is.test(item.id))?.[1] ??
    BY_GROUP[item.group] ?? ['other', 'none']
  return { item: item.label, item_code: item.id, class: goodsClass, packing, take: 'ship', quantity: '1' }
}

/** Everyday words, and the word of the item table that is meant. */
const SAME: ReadonlyMap<string, string> = new Map(
  Object.entries({
    tv: 'television',
    fridge: 'refrigerator',
    couch: 'sofa',
    settee: 'sofa',
    closet: 'wardrobe',
    washer: 'washing',
    stove: 'cooker',
    oven: 'cooker',
    bike: 'bicycle',
    carpet: 'rug',
    painting: 'picture',
    pc: 'computer',
    stereo: 'hi',
    buggy: 'pram',
    barbecue: 'grill',
  }),
)

/** How near a typed text is to an item's label: 0 is not at all. */
function nearness(label: string, words: readonly string[]): number {
  const parts = label.toLowerCase().split(/[^\p{L}\d]+/u)
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
    .map((word) => SAME.get(word) ?? word)
  if (words.length === 0) return []
  return items
    .map((item) => ({ item, near: nearness(item.label, words) }))
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

/** Things that such a room mostly has: ids of the item table, each with how many. A start, to be thinned out. */
export const STARTERS: Readonly<Record<string, readonly (readonly [id: string, quantity: number])[]>> = {
  'Living room': [
    ['sofa-3-seat', 1],
    ['armchair-large', 1],
    ['coffee-table', 1],
    ['bookcase', 2],
    ['tv-stand', 1],
    ['tv-boxed', 1],
    ['floor-lamp', 1],
    ['rug-large', 1],
    ['picture-small', 3],
  ],
  'Dining room': [
    ['dining-table', 1],
    ['dining-chair', 6],
    ['china-cabinet', 1],
  ],
  Kitchen: [
    ['fridge-medium', 1],
    ['microwave', 1],
    ['coffee-machine', 1],
    ['bar-stool', 2],
  ],
  Bedroom: [
    ['bed-double', 1],
    ['nightstand', 2],
    ['wardrobe-large', 1],
    ['chest-of-drawers', 1],
    ['mirror-large', 1],
  ],
  "Child's room": [
    ['bed-single', 1],
    ['chest-of-drawers', 1],
    ['bookcase-section', 1],
    ['toy-kitchen', 1],
  ],
  Study: [
    ['desk-large', 1],
    ['office-chair', 1],
    ['bookcase-tall', 2],
    ['file-cabinet-2', 1],
    ['computer-tower', 1],
    ['printer', 1],
  ],
  Laundry: [
    ['washing-machine', 1],
    ['ironing-board', 1],
    ['clothes-airer', 1],
    ['vacuum-cleaner', 1],
  ],
  'Hall and store': [
    ['coat-stand', 1],
    ['shoe-cabinet', 1],
    ['suitcase', 3],
    ['tote', 6],
    ['tool-box', 1],
  ],
  'Garden and balcony': [
    ['garden-table', 1],
    ['garden-chair', 4],
    ['bicycle', 2],
    ['grill', 1],
  ],
}
