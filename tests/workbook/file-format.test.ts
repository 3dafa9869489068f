import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { workbook } from '../../src/workbook/index.js'
import { definedName, sheetName } from '../../src/workbook/names.js'
import { bookBytes } from '../../src/workbook/package-parts.js'
import { child, type Element, parseXml, readBook } from './read-book.js'
import { smallSheet } from './small-plan.js'

const bytes = workbook(
  [
    { name: '=HYPERLINK("x")', sheet: smallSheet() },
    { name: "O'Neil & <sons>", sheet: smallSheet({ vat: '0.21' }) },
  ],
  {
    title: '@home',
    asOf: '2026-11-25',
    protect: true,
    totals: ['cost.packing', 'cost.freight', 'cost.total'],
    choiceLabels: new Map([['cover', '-1+1']]),
  },
)
const book = readBook(bytes)
const sheet = (name: string) => {
  const found = book.sheets.find((s) => s.name === name)
  if (!found) throw new Error(`no sheet ${name}`)
  return found
}
const everyCell = book.sheets.flatMap((s) =>
  [...s.cells].map(([at, cell]) => ({ sheet: s.name, at, ...cell })),
)

/** Children of CT_Worksheet in the sequence of ECMA-376 part 1, 18.3.1.99 (those written here). */
const WORKSHEET_SEQUENCE = [
  'sheetPr',
  'dimension',
  'sheetViews',
  'sheetFormatPr',
  'cols',
  'sheetData',
  'sheetProtection',
  'autoFilter',
  'conditionalFormatting',
  'dataValidations',
  'pageMargins',
  'pageSetup',
  'headerFooter',
  'drawing',
]

/** Children of CT_Workbook, 18.2.27, and of CT_Stylesheet, 18.8.39, likewise. */
const WORKBOOK_SEQUENCE = ['workbookPr', 'bookViews', 'sheets', 'definedNames', 'calcPr']
const STYLES_SEQUENCE = [
  'numFmts',
  'fonts',
  'fills',
  'borders',
  'cellStyleXfs',
  'cellXfs',
  'cellStyles',
  'dxfs',
  'tableStyles',
]

// biome-ignore lint/suspicious/noControlCharactersInRegex: characters XML 1.0 forbids
const DROPPED = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g

const inSequence = (names: readonly string[], sequence: readonly string[]) => {
  const places = names.map((name) => sequence.indexOf(name))
  return places.every((place, i) => place >= 0 && place >= (places[i - 1] ?? 0))
}

describe('the file by ECMA-376 (Office Open XML, parts 1 and 2)', () => {
  it('declares a content type for every part and a target for every relationship', () => {
    const declared = parseXml(book.parts['[Content_Types].xml'] ?? '').children
    const overrides = declared.flatMap((d) => (d.attributes.PartName ? [d.attributes.PartName.slice(1)] : []))
    const parts = Object.keys(book.parts).filter((p) => !p.endsWith('.rels') && p !== '[Content_Types].xml')
    expect(overrides.sort()).toEqual(parts.sort())
    const relationships = Object.keys(book.parts).filter((path) => path.endsWith('.rels'))
    expect(relationships.some((path) => path.includes('drawings'))).toBe(true)
    for (const rels of relationships) {
      // Part 2, 6.5.3: a target is taken from the folder of the part that refers to it.
      const base = new URL(`file:///${rels.replace('_rels/', '')}`)
      for (const r of parseXml(book.parts[rels] ?? '').children) {
        expect(book.parts).toHaveProperty([new URL(r.attributes.Target ?? '', base).pathname.slice(1)])
      }
    }
  })

  it('holds every part well formed, its children in the order of the schema', () => {
    for (const [path, xml] of Object.entries(book.parts)) expect(() => parseXml(xml), path).not.toThrow()
    for (const s of book.sheets) {
      expect(
        inSequence(
          s.xml.children.map((c) => c.name),
          WORKSHEET_SEQUENCE,
        ),
        s.name,
      ).toBe(true)
    }
    const names = (path: string) => parseXml(book.parts[path] ?? '').children.map((c) => c.name)
    expect(inSequence(names('xl/workbook.xml'), WORKBOOK_SEQUENCE)).toBe(true)
    expect(inSequence(names('xl/styles.xml'), STYLES_SEQUENCE)).toBe(true)
  })

  it('counts what it says it counts, and points at styles that are there', () => {
    const counted = [...book.styles.children, ...book.sheets.flatMap((s) => s.xml.children)].filter(
      (e) => e.attributes.count,
    )
    for (const e of counted) expect(Number(e.attributes.count), e.name).toBe(e.children.length)
    const looks = child(book.styles, 'cellXfs')?.children ?? []
    for (const cell of everyCell) expect(looks[cell.style]).toBeDefined()
    for (const look of looks) {
      expect(child(book.styles, 'fonts')?.children[Number(look.attributes.fontId)]).toBeDefined()
      expect(child(book.styles, 'fills')?.children[Number(look.attributes.fillId)]).toBeDefined()
      expect(child(book.styles, 'borders')?.children[Number(look.attributes.borderId)]).toBeDefined()
    }
  })

  it('lists cells and rows in rising order, each once', () => {
    for (const s of book.sheets) {
      const rows = (child(s.xml, 'sheetData')?.children ?? []).map((r) => Number(r.attributes.r))
      expect(rows).toEqual([...new Set(rows)].sort((a, b) => a - b))
    }
  })

  it('has names in rising order, every one of a kind, on a cell that is a number', () => {
    const names = [...book.names.keys()].map((n) => n.toLowerCase())
    expect(names).toEqual([...new Set(names)].sort())
    for (const [name, at] of book.names) {
      const [, on = '', column = '', row = ''] = /^(\w+)!\$([A-Z]+)\$(\d+)$/.exec(at) ?? []
      expect(sheet(on).cells.get(column + row)?.number, `${name} at ${at}`).toBeTypeOf('number')
    }
  })

  it('leaves no formula with a stored result, and none longer or deeper than programs take', () => {
    for (const { formula, number, sheet: on, at } of everyCell) {
      if (formula === undefined) continue
      expect(number, `${on}!${at}`).toBeUndefined()
      expect(formula.length).toBeLessThan(8192)
      let depth = 0
      let deepest = 0
      for (const mark of formula) {
        if (mark === '(') deepest = Math.max(deepest, ++depth)
        if (mark === ')') depth--
      }
      expect(depth).toBe(0)
      expect(deepest).toBeLessThan(64)
      for (const [, args = ''] of formula.matchAll(/(?:SUM|MIN|MAX)\(([^()]*)\)/g)) {
        expect(args.split(',').length).toBeLessThanOrEqual(255)
      }
    }
    expect(book.parts['xl/workbook.xml']).toContain('fullCalcOnLoad="1"')
  })

  it('keeps headings in view, hides the steps, locks all but the inputs', () => {
    for (const name of [
      'Inputs',
      'Inventory',
      'Volume',
      'Cost',
      'Customs',
      'Cover',
      'Time',
      'Scenarios',
      'Check',
    ]) {
      const pane = child(child(sheet(name).xml, 'sheetViews')?.children[0] ?? sheet(name).xml, 'pane')
      expect(pane?.attributes.state, name).toBe('frozen')
    }
    expect(book.sheets.filter((s) => s.hidden).map((s) => s.name)).toEqual(['Steps'])
    const looks = child(book.styles, 'cellXfs')?.children ?? []
    const unlocked = (style: number) =>
      child(looks[style] ?? book.styles, 'protection')?.attributes.locked === '0'
    for (const s of book.sheets) expect(child(s.xml, 'sheetProtection')?.attributes.sheet, s.name).toBe('1')
    for (const at of book.names.values()) {
      const [on = '', cell = ''] = at.replaceAll('$', '').split('!')
      // Names of numbers of the rules, and of how near is near enough, stand on sheets without inputs.
      if (on === 'Choices' || on === 'Check') continue
      expect(unlocked(sheet(on).cells.get(cell)?.style ?? 0), at).toBe(true)
    }
    for (const c of everyCell) {
      if (unlocked(c.style)) expect(['Inputs', 'Inventory']).toContain(c.sheet)
      if (c.sheet === 'Cost' && c.formula !== undefined) expect(unlocked(c.style)).toBe(false)
    }
  })

  it('draws its charts from cells that are there, in the order of the schema', () => {
    // CT_BarSer, CT_CatAx and CT_ValAx: ISO/IEC 29500-1, 21.2.
    const sequences: Readonly<Record<string, readonly string[]>> = {
      'c:ser': ['c:idx', 'c:order', 'c:tx', 'c:spPr', 'c:invertIfNegative', 'c:cat', 'c:val'],
      'c:catAx': [
        ...['c:axId', 'c:scaling', 'c:delete', 'c:axPos', 'c:majorTickMark', 'c:minorTickMark'],
        ...['c:tickLblPos', 'c:txPr', 'c:crossAx'],
      ],
      'c:valAx': [
        ...['c:axId', 'c:scaling', 'c:delete', 'c:axPos', 'c:majorGridlines', 'c:title', 'c:numFmt'],
        ...['c:majorTickMark', 'c:minorTickMark', 'c:tickLblPos', 'c:txPr', 'c:crossAx'],
      ],
      'c:chart': ['c:title', 'c:autoTitleDeleted', 'c:plotArea', 'c:legend', 'c:plotVisOnly'],
    }
    const charts = Object.keys(book.parts).filter((path) => path.startsWith('xl/charts/'))
    expect(charts.length).toBeGreaterThan(0)
    const everyElement = (e: Element): Element[] => [e, ...e.children.flatMap(everyElement)]
    for (const path of charts) {
      for (const element of everyElement(parseXml(book.parts[path] ?? ''))) {
        const sequence = sequences[element.name]
        if (sequence)
          expect(
            inSequence(
              element.children.map((c) => c.name),
              sequence,
            ),
            `${path} ${element.name}`,
          ).toBe(true)
        if (element.name !== 'c:f') continue
        const [on = '', cells = ''] = element.text.replaceAll('$', '').split('!')
        for (const at of cells.split(':'))
          expect(sheet(on).cells.has(at), `${path}: ${element.text}`).toBe(true)
      }
    }
  })

  it('is the same bytes every time', () => {
    const make = () => workbook([{ name: 'A', sheet: smallSheet() }])
    expect(make()).toEqual(make())
  })
})

describe('text from files', () => {
  it('stays text where it starts like a formula, also when the cell is edited', () => {
    const looks = child(book.styles, 'cellXfs')?.children ?? []
    const risky = everyCell.filter((c) => /^[=+\-@]/.test(c.text ?? ''))
    const texts = new Set(risky.map((c) => c.text))
    for (const text of [
      '=HYPERLINK("x")',
      '=2+3 "Sea freight" <per> m³ & more',
      '@SUM(1): how many',
      '-cmd',
      '=none',
      '-1+1',
      '@home',
    ]) {
      expect(
        [...texts].some((t) => t === text || (text.startsWith('@SUM') && t === '@SUM(1)')),
        text,
      ).toBe(true)
    }
    for (const cell of risky) {
      expect(cell.formula).toBeUndefined()
      expect(looks[cell.style]?.attributes.quotePrefix, cell.text).toBe('1')
    }
  })

  it('never becomes a formula or breaks the file, whatever it is', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: 'binary', maxLength: 60 }),
        fc.constantFrom('', '=', '+', '-', '@', '\t', '\r'),
        (rest, first) => {
          const text = first + rest
          const read = readBook(
            bookBytes({ pages: [{ name: 'T', rows: [[{ text }]], widths: [] }], names: [], title: text }),
          )
          const cell = read.sheets[0]?.cells.get('A1')
          expect(cell?.formula).toBeUndefined()
          const kept = text.replace(/\r\n?/g, '\n').replace(DROPPED, '')
          expect(cell?.text ?? '').toBe(kept.replace(/_(?=x[0-9A-Fa-f]{4}_)/g, '_x005F_'))
        },
      ),
    )
  })

  it('drops halves of surrogate pairs and spells out what would read as a character number', () => {
    const read = readBook(
      bookBytes({
        pages: [{ name: 'T', rows: [[{ text: '\ud800a\udc00_x0041_\u0007b' }]], widths: [] }],
        names: [],
        title: '',
      }),
    )
    expect(read.sheets[0]?.cells.get('A1')?.text).toBe('a_x005F_x0041_b')
  })
})

describe('names', () => {
  it.each([
    ['origin.carry-m', 'origin_carry_m'],
    ['tax1', 'tax1_'],
    ['R', 'R_'],
    ['c', 'c_'],
    ['r1c1', 'r1c1_'],
    ['XFD1048576', 'XFD1048576_'],
    ['2nd', '_2nd'],
    ['Mädchen', 'Madchen'],
    ['true', 'true_'],
  ])('the name for %s is %s', (id, name) => {
    expect(definedName(id, new Set())).toBe(name)
  })

  it('tells names apart that differ in capitals or marks only', () => {
    const taken = new Set<string>()
    expect([definedName('a.b', taken), definedName('A-B', taken), definedName('a_b', taken)]).toEqual([
      'a_b',
      'A_B_2',
      'a_b_3',
    ])
  })

  it('makes sheet names that are allowed and of a kind', () => {
    const taken = new Set<string>()
    fc.assert(
      fc.property(fc.string({ maxLength: 50 }), (wanted) => {
        const before = new Set(taken)
        const name = sheetName(wanted, taken)
        expect(name).toMatch(/^[^[\]:*?/\\]{1,31}$/)
        expect(name).not.toMatch(/^'|'$|^history$/i)
        expect(before.has(name.toLowerCase())).toBe(false)
      }),
    )
  })
})
