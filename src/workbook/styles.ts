import { xmlText } from './text.js'

/** How a cell looks and whether it may be typed into while the sheet is protected. */
export interface Style {
  readonly font?: 'bold' | 'title' | 'heading' | 'note' | 'input' | 'caution'
  readonly fill?: 'input' | 'linked' | 'heading' | 'band' | 'caution'
  readonly border?: 'thin'
  /** Number format code; General where left out. */
  readonly format?: string
  readonly wrap?: boolean
  /** Set in from the left, where it stands beside a number. */
  readonly indent?: boolean
  readonly unlocked?: boolean
  /** Marks text that starts like a formula, so that editing the cell leaves it text. */
  readonly quotePrefix?: boolean
}

const fonts = {
  plain: '<font><sz val="10"/><color rgb="FF1A1A1A"/><name val="Arial"/><family val="2"/></font>',
  bold: '<font><b/><sz val="10"/><color rgb="FF1A1A1A"/><name val="Arial"/><family val="2"/></font>',
  title: '<font><b/><sz val="16"/><color rgb="FF123B4A"/><name val="Arial"/><family val="2"/></font>',
  heading: '<font><b/><sz val="10"/><color rgb="FFFFFFFF"/><name val="Arial"/><family val="2"/></font>',
  note: '<font><i/><sz val="9"/><color rgb="FF595959"/><name val="Arial"/><family val="2"/></font>',
  input: '<font><sz val="10"/><color rgb="FF0B3FA8"/><name val="Arial"/><family val="2"/></font>',
  caution: '<font><b/><sz val="10"/><color rgb="FF7A1F00"/><name val="Arial"/><family val="2"/></font>',
} as const

// The format reserves the first two fills.
const fills = {
  none: '<fill><patternFill patternType="none"/></fill>',
  gray125: '<fill><patternFill patternType="gray125"/></fill>',
  input: solid('FFFFF6CC'),
  linked: solid('FFFFFCEB'),
  heading: solid('FF123B4A'),
  band: solid('FFE3EDF0'),
  caution: solid('FFFCE8DF'),
} as const

function solid(rgb: string): string {
  return `<fill><patternFill patternType="solid"><fgColor rgb="${rgb}"/><bgColor indexed="64"/></patternFill></fill>`
}

const side = (name: string) => `<${name} style="thin"><color rgb="FFB8A860"/></${name}>`
const borders = {
  none: '<border><left/><right/><top/><bottom/><diagonal/></border>',
  thin: `<border>${['left', 'right', 'top', 'bottom'].map(side).join('')}<diagonal/></border>`,
} as const

/** Looks that hang on a cell's value, by their number in the style part. */
export const CHANGED_LOOK = 0
export const AGREES_LOOK = 1
export const DIFFERS_LOOK = 2

const looks = [
  dxf('FF7A1F00', 'FFF9C9A8'), // an input changed since the file was written
  dxf('FF0F5132', 'FFD6EFDC'),
  dxf('FFFFFFFF', 'FFB3261E'),
]

function dxf(text: string, ground: string): string {
  return `<dxf><font><b/><color rgb="${text}"/></font><fill><patternFill patternType="solid"><fgColor rgb="${ground}"/><bgColor rgb="${ground}"/></patternFill></fill></dxf>`
}

const FIRST_OWN_FORMAT = 164

/** The styles of one workbook: each look asked for gets a number, the same look the same number. */
export class StyleSheet {
  readonly #formats = new Map<string, number>()
  readonly #looks = new Map<string, number>([[xf({}, 0), 0]])

  /** Number of a style, as a cell's `s` attribute gives it. */
  indexOf(style: Style): number {
    const text = xf(style, style.format === undefined ? 0 : this.#formatId(style.format))
    const known = this.#looks.get(text)
    if (known !== undefined) return known
    this.#looks.set(text, this.#looks.size)
    return this.#looks.size - 1
  }

  #formatId(code: string): number {
    const known = this.#formats.get(code)
    if (known !== undefined) return known
    this.#formats.set(code, FIRST_OWN_FORMAT + this.#formats.size)
    return FIRST_OWN_FORMAT + this.#formats.size - 1
  }

  /** The style part, once every cell has asked for its style. */
  xml(): string {
    const formats = [...this.#formats].map(
      ([code, id]) => `<numFmt numFmtId="${id}" formatCode="${xmlText(code)}"/>`,
    )
    return [
      '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n',
      '<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">',
      formats.length > 0 ? counted('numFmts', formats) : '',
      counted('fonts', Object.values(fonts)),
      counted('fills', Object.values(fills)),
      counted('borders', Object.values(borders)),
      '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>',
      counted('cellXfs', [...this.#looks.keys()]),
      '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles>',
      counted('dxfs', looks),
      '<tableStyles count="0" defaultTableStyle="TableStyleMedium2" defaultPivotStyle="PivotStyleLight16"/>',
      '</styleSheet>',
    ].join('')
  }
}

const counted = (element: string, children: readonly string[]): string =>
  `<${element} count="${children.length}">${children.join('')}</${element}>`

function xf(style: Style, formatId: number): string {
  const fontId = Object.keys(fonts).indexOf(style.font ?? 'plain')
  const fillId = Object.keys(fills).indexOf(style.fill ?? 'none')
  const borderId = Object.keys(borders).indexOf(style.border ?? 'none')
  const horizontal = style.indent ? ' horizontal="left"' : ''
  const alignment = `<alignment${horizontal} vertical="top"${style.wrap ? ' wrapText="1"' : ''}${style.indent ? ' indent="1"' : ''}/>`
  const protection = style.unlocked ? '<protection locked="0"/>' : ''
  return [
    `<xf numFmtId="${formatId}" fontId="${fontId}" fillId="${fillId}" borderId="${borderId}" xfId="0"`,
    style.quotePrefix ? ' quotePrefix="1"' : '',
    formatId > 0 ? ' applyNumberFormat="1"' : '',
    fontId > 0 ? ' applyFont="1"' : '',
    fillId > 0 ? ' applyFill="1"' : '',
    borderId > 0 ? ' applyBorder="1"' : '',
    ' applyAlignment="1"',
    style.unlocked ? ' applyProtection="1"' : '',
    `>${alignment}${protection}</xf>`,
  ].join('')
}
