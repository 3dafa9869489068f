/** Loose goods of one line of the inventory that go into cartons of one size. */
export interface LooseGoods {
  readonly line: string
  readonly item: string
  /** How many pieces the line has. */
  readonly quantity: number
  /** Net volume of all of them, m³, and their mass without packing, kg. */
  readonly volumeM3: number
  readonly massKg: number
  /** What they are worth together, in any one currency. */
  readonly value: number
  readonly fragile: boolean
  readonly firstNeeded: boolean
}

/** The cartons of one size of one room, and what goes into them. */
export interface CartonGroup {
  readonly room: string
  /** Row of data/reference/cartons.csv. */
  readonly carton: string
  readonly label: string
  /** How many the plan says: cell `cartons.<room>.<carton>`. */
  readonly count: number
  readonly contentLimitKg: number
  readonly goods: readonly LooseGoods[]
}

/** What of a line is in one carton. */
export interface CartonContent {
  readonly line: string
  readonly item: string
  /** Pieces in this carton, whole; 0 where a lot that counts as one piece is spread over several cartons. */
  readonly pieces: number
  /** Share of the line that is in this carton, over 0 to 1. */
  readonly share: number
}

/** One numbered carton. */
export interface NumberedCarton {
  /** `C-001` and on. */
  readonly number: string
  readonly room: string
  readonly carton: string
  readonly label: string
  readonly contents: readonly CartonContent[]
  /** Net volume and mass of the contents, m³ and kg. */
  readonly volumeM3: number
  readonly goodsKg: number
  readonly value: number
  readonly fragile: boolean
  readonly firstNeeded: boolean
}

/**
 * The numbered list of cartons: the one place where a carton gets its number, so that load plan, loading list and
 * customs inventory agree. Numbers follow the order of the groups, which is that of the inventory.
 *
 * The goods of a group are shared out evenly by volume, in the order of the inventory, so that what stands together
 * stays together. Where that would overload a carton, light and heavy goods are mixed until every carton has the mean.
 *
 * @param taken marks of inventory lines: where one reads like a carton number, cartons are numbered `CTN-001` and on
 * @returns as many cartons as the counts of the groups add up to
 */
export function cartonList(groups: readonly CartonGroup[], taken: readonly string[] = []): NumberedCarton[] {
  const prefix = taken.some((mark) => /^C-\d{3,}$/i.test(mark)) ? 'CTN' : 'C'
  const digits = Math.max(3, String(groups.reduce((sum, g) => sum + g.count, 0)).length)
  let next = 1
  return groups.flatMap((group) =>
    sharedOut(group).map((contents): NumberedCarton => {
      const of = (figure: (goods: LooseGoods) => number): number =>
        contents.reduce((sum, { goods, share }) => sum + figure(goods) * share, 0)
      return {
        number: `${prefix}-${String(next++).padStart(digits, '0')}`,
        room: group.room,
        carton: group.carton,
        label: group.label,
        contents: contents.map(({ goods, share, pieces }) => ({
          line: goods.line,
          item: goods.item,
          pieces,
          share,
        })),
        volumeM3: of((goods) => goods.volumeM3),
        goodsKg: of((goods) => goods.massKg),
        value: of((goods) => goods.value),
        fragile: contents.some(({ goods }) => goods.fragile),
        firstNeeded: contents.some(({ goods }) => goods.firstNeeded),
      }
    }),
  )
}

interface Part {
  readonly goods: LooseGoods
  readonly share: number
  readonly pieces: number
}

interface Span {
  readonly goods: LooseGoods
  /** From where to where in the row of goods, in m³. */
  readonly from: number
  readonly to: number
}

function sharedOut(group: CartonGroup): Part[][] {
  const goods = group.goods.filter((g) => g.volumeM3 > 0 || g.massKg > 0)
  if (group.count < 1) return []
  // Goods of no volume at all would fall between two cartons.
  const sized = goods.map((g) => ({ ...g, volumeM3: Math.max(g.volumeM3, 1e-9) }))
  const inOrder = cut(row(sized), group.count)
  const kg = (spans: readonly Span[]): number =>
    spans.reduce((sum, s) => sum + (s.goods.massKg * (s.to - s.from)) / s.goods.volumeM3, 0)
  const fits = inOrder.every((spans) => kg(spans) <= group.contentLimitKg + 1e-9)
  return counted(fits ? inOrder : mixed(sized, group.count, kg))
}

function row(goods: readonly LooseGoods[]): Span[] {
  let at = 0
  return goods.map((g) => {
    const span = { goods: g, from: at, to: at + g.volumeM3 }
    at = span.to
    return span
  })
}

const lengthOf = (spans: readonly Span[]): number => spans.reduce((sum, s) => sum + s.to - s.from, 0)

/** The part of a row between two places. */
function between(spans: readonly Span[], from: number, to: number): Span[] {
  const found: Span[] = []
  let at = 0
  for (const span of spans) {
    const size = span.to - span.from
    const start = Math.max(from, at)
    const end = Math.min(to, at + size)
    if (end - start > 1e-9)
      found.push({ goods: span.goods, from: span.from + start - at, to: span.from + end - at })
    at += size
  }
  return found
}

function cut(spans: readonly Span[], count: number): Span[][] {
  const each = lengthOf(spans) / count
  return Array.from({ length: count }, (_, i) => between(spans, i * each, (i + 1) * each))
}

/**
 * Goods by density, and for each carton a stretch of that row as long as one carton and as heavy as the mean. There is
 * always one: the mean lies between that of the lightest and that of the heaviest stretch.
 */
function mixed(
  goods: readonly LooseGoods[],
  count: number,
  kg: (spans: readonly Span[]) => number,
): Span[][] {
  const density = (g: LooseGoods): number => g.massKg / g.volumeM3
  let rest = row([...goods].sort((a, b) => density(a) - density(b)))
  const each = lengthOf(rest) / count
  const mean = kg(rest) / count
  const cartons: Span[][] = []
  for (let i = 0; i < count - 1; i++) {
    const size = lengthOf(rest)
    let low = 0
    let high = size - each
    for (let step = 0; step < 60; step++) {
      const middle = (low + high) / 2
      if (kg(between(rest, middle, middle + each)) < mean) low = middle
      else high = middle
    }
    cartons.push(between(rest, high, high + each))
    rest = [...between(rest, 0, high), ...between(rest, high + each, size)]
  }
  return [...cartons, rest]
}

/** Whole pieces for each carton, so that those of a line add up to its quantity. */
function counted(cartons: readonly (readonly Span[])[]): Part[][] {
  const done = new Map<LooseGoods, { share: number; pieces: number }>()
  return cartons.map((spans) => {
    const joined = new Map<LooseGoods, number>()
    for (const { goods, from, to } of spans) {
      joined.set(goods, (joined.get(goods) ?? 0) + (to - from) / goods.volumeM3)
    }
    return [...joined].map(([goods, share]) => {
      const before = done.get(goods) ?? { share: 0, pieces: 0 }
      const upTo = before.share + share
      const whole = Math.round(Math.min(1, upTo) * goods.quantity)
      done.set(goods, { share: upTo, pieces: whole })
      return { goods, share: Math.min(1, share), pieces: Math.max(0, whole - before.pieces) }
    })
  })
}
