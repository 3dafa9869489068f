import { strToU8, type Zippable, zipSync } from 'fflate'
import { type Chart, chartXml, drawingXml } from './chart-parts.js'
import { address, fixedAddress, sheetPrefix } from './names.js'
import { type Style, StyleSheet } from './styles.js'
import { cellText, startsLikeFormula, xmlText } from './text.js'

/** What a cell holds. Text is typed as text, so no program takes it for a formula. */
export type Content =
  | { readonly text: string; readonly style?: Style }
  | { readonly number: number; readonly style?: Style }
  /** `lines` is how many lines its text may take. */
  | { readonly formula: string; readonly style?: Style; readonly lines?: number }
  | { readonly style: Style }

/** A look laid over cells while a condition, written for the first of them, holds. */
export interface ConditionalLook {
  readonly range: string
  readonly condition: string
  readonly look: number
}

/** One sheet as it is written. Rows and columns are zero-based; a row may have holes. */
export interface Page {
  readonly name: string
  readonly rows: readonly (readonly (Content | undefined)[])[]
  /** Column widths in characters; 0 hides a column. */
  readonly widths: readonly number[]
  /** Rows and columns that stay in view. */
  readonly frozen?: { readonly rows: number; readonly columns: number }
  /** The row of headings, from which the rows below can be filtered. */
  readonly headings?: { readonly row: number; readonly columns: number }
  readonly hidden?: boolean
  readonly protected?: boolean
  readonly looks?: readonly ConditionalLook[]
  /** Cells that take numbers only. */
  readonly numbersOnly?: readonly string[]
  /** Cells that take one of the texts of other cells of the sheet, chosen from a list. */
  readonly lists?: readonly { readonly range: string; readonly texts: string }[]
  readonly portrait?: boolean
  /** Rows folded away under an outline: shown by the + in the margin, not printed. */
  readonly detailRows?: ReadonlySet<number>
  /** Columns that go to paper, the last one not counted. */
  readonly printed?: { readonly from: number; readonly to: number }
  /** All of it on one page, however small. */
  readonly onePage?: boolean
  readonly charts?: readonly Chart[]
}

/** A name for one cell, as formulas use it. */
export interface DefinedName {
  readonly name: string
  readonly sheet: string
  readonly column: number
  readonly row: number
}

export interface BookParts {
  readonly pages: readonly Page[]
  readonly names: readonly DefinedName[]
  readonly title: string
  /** Day the figures are of, as year-month-day. */
  readonly asOf?: string
}

const main = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main'
const relationships = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships'
const packaging = 'http://schemas.openxmlformats.org/package/2006'
const types = 'application/vnd.openxmlformats-officedocument.spreadsheetml'
const head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'

// Any fixed moment will do: the same book is the same bytes on every day. ZIP has no year before 1980, and its
// times are local, so noon of a day in the middle of a year keeps every time zone on the same side.
const STAMP = new Date(2000, 5, 15, 12, 0, 0)

/**
 * The bytes of an Office Open XML workbook (ECMA-376, transitional). Formulas carry no stored results, so a program
 * computes them when it opens the file. The same parts give the same bytes.
 */
export function bookBytes(book: BookParts): Uint8Array {
  const styles = new StyleSheet()
  const sheets = book.pages.map((page, i) => sheetXml(page, i === 0, styles))
  const drawn = book.pages.flatMap((page, i) =>
    page.charts?.length ? [{ charts: page.charts, sheet: i + 1 }] : [],
  )
  const charts = drawn.flatMap(({ charts }) => charts)
  const files: Record<string, string> = {
    '[Content_Types].xml': contentTypes(book.pages.length, drawn.length, charts.length),
    '_rels/.rels': rootRelationships,
    'docProps/core.xml': coreProperties(book),
    'xl/workbook.xml': workbookXml(book),
    'xl/_rels/workbook.xml.rels': workbookRelationships(book.pages.length),
    'xl/styles.xml': styles.xml(),
  }
  sheets.forEach((xml, i) => {
    files[`xl/worksheets/sheet${i + 1}.xml`] = xml
  })
  let chart = 0
  drawn.forEach(({ charts, sheet }, i) => {
    files[`xl/worksheets/_rels/sheet${sheet}.xml.rels`] = relationshipsXml([
      ['drawing', `../drawings/drawing${i + 1}.xml`],
    ])
    files[`xl/drawings/drawing${i + 1}.xml`] = drawingXml(charts)
    files[`xl/drawings/_rels/drawing${i + 1}.xml.rels`] = relationshipsXml(
      charts.map((_, k) => ['chart', `../charts/chart${chart + k + 1}.xml`]),
    )
    for (const one of charts) files[`xl/charts/chart${++chart}.xml`] = chartXml(one)
  })
  const zippable: Zippable = {}
  for (const [path, xml] of Object.entries(files)) {
    zippable[path] = [strToU8(xml), { level: 6, mtime: STAMP, os: 0 }]
  }
  return zipSync(zippable)
}

function contentTypes(sheets: number, drawings: number, charts: number): string {
  const drawing = 'application/vnd.openxmlformats-officedocument'
  const numbered = (count: number, path: string, type: string) =>
    Array.from({ length: count }, (_, i) => [`/xl/${path}${i + 1}.xml`, `${drawing}.${type}+xml`])
  const parts = [
    ['/xl/workbook.xml', `${types}.sheet.main+xml`],
    ...Array.from({ length: sheets }, (_, i) => [
      `/xl/worksheets/sheet${i + 1}.xml`,
      `${types}.worksheet+xml`,
    ]),
    ['/xl/styles.xml', `${types}.styles+xml`],
    ...numbered(drawings, 'drawings/drawing', 'drawing'),
    ...numbered(charts, 'charts/chart', 'drawingml.chart'),
    ['/docProps/core.xml', 'application/vnd.openxmlformats-package.core-properties+xml'],
  ]
  return [
    `${head}<Types xmlns="${packaging}/content-types">`,
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>',
    '<Default Extension="xml" ContentType="application/xml"/>',
    ...parts.map(([name, type]) => `<Override PartName="${name}" ContentType="${type}"/>`),
    '</Types>',
  ].join('')
}

const rootRelationships = [
  `${head}<Relationships xmlns="${packaging}/relationships">`,
  `<Relationship Id="rId1" Type="${relationships}/officeDocument" Target="xl/workbook.xml"/>`,
  `<Relationship Id="rId2" Type="${packaging}/relationships/metadata/core-properties" Target="docProps/core.xml"/>`,
  '</Relationships>',
].join('')

const workbookRelationships = (sheets: number): string =>
  relationshipsXml([
    ...Array.from({ length: sheets }, (_, i) => ['worksheet', `worksheets/sheet${i + 1}.xml`] as const),
    ['styles', 'styles.xml'],
  ])

/** What a part refers to, as rId1, rId2 and so on. */
function relationshipsXml(targets: readonly (readonly [kind: string, target: string])[]): string {
  return [
    `${head}<Relationships xmlns="${packaging}/relationships">`,
    ...targets.map(
      ([kind, target], i) =>
        `<Relationship Id="rId${i + 1}" Type="${relationships}/${kind}" Target="${target}"/>`,
    ),
    '</Relationships>',
  ].join('')
}

function coreProperties({ title, asOf }: BookParts): string {
  const created = asOf
    ? `<dcterms:created xsi:type="dcterms:W3CDTF">${xmlText(asOf)}T00:00:00Z</dcterms:created>`
    : ''
  return [
    `${head}<cp:coreProperties xmlns:cp="${packaging}/metadata/core-properties"`,
    ' xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:dcterms="http://purl.org/dc/terms/"',
    ' xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">',
    `<dc:title>${xmlText(title)}</dc:title>${created}</cp:coreProperties>`,
  ].join('')
}

function workbookXml({ pages, names }: BookParts): string {
  const sheets = pages.map(
    ({ name, hidden }, i) =>
      `<sheet name="${xmlText(name)}" sheetId="${i + 1}"${hidden ? ' state="hidden"' : ''} r:id="rId${i + 1}"/>`,
  )
  // Programs write names in rising order, capitals alike; some readers search them so.
  const defined = [
    ...names.map(({ name, sheet, column, row }) => ({
      key: name.toLowerCase(),
      xml: `<definedName name="${xmlText(name)}">${xmlText(sheetPrefix(sheet) + fixedAddress(column, row))}</definedName>`,
    })),
    ...pages.flatMap((page, i) => [...headingNames(page, i), ...printedNames(page, i)]),
  ].sort((a, b) => (a.key < b.key ? -1 : a.key > b.key ? 1 : 0))
  return [
    `${head}<workbook xmlns="${main}" xmlns:r="${relationships}">`,
    '<workbookPr/><bookViews><workbookView activeTab="0"/></bookViews>',
    `<sheets>${sheets.join('')}</sheets>`,
    defined.length > 0 ? `<definedNames>${defined.map((d) => d.xml).join('')}</definedNames>` : '',
    '<calcPr calcId="191029" fullCalcOnLoad="1"/></workbook>',
  ].join('')
}

function headingNames({ name, headings, rows }: Page, i: number): { key: string; xml: string }[] {
  if (!headings) return []
  const filtered = `${sheetPrefix(name)}${fixedAddress(0, headings.row)}:${fixedAddress(headings.columns - 1, rows.length - 1)}`
  const titles = `${sheetPrefix(name)}$${headings.row + 1}:$${headings.row + 1}`
  return [
    {
      key: `_xlnm._filterdatabase ${String(i).padStart(3, '0')}`,
      xml: `<definedName name="_xlnm._FilterDatabase" localSheetId="${i}" hidden="1">${xmlText(filtered)}</definedName>`,
    },
    {
      key: `_xlnm.print_titles ${String(i).padStart(3, '0')}`,
      xml: `<definedName name="_xlnm.Print_Titles" localSheetId="${i}">${xmlText(titles)}</definedName>`,
    },
  ]
}

/** The part of a sheet that goes to paper; below the last row, charts. */
function printedNames(page: Page, i: number): { key: string; xml: string }[] {
  if (!page.printed) return []
  const { from, to } = page.printed
  const area = `${sheetPrefix(page.name)}${fixedAddress(from, 0)}:${fixedAddress(to - 1, lastPrintedRow(page))}`
  return [
    {
      key: `_xlnm.print_area ${String(i).padStart(3, '0')}`,
      xml: `<definedName name="_xlnm.Print_Area" localSheetId="${i}">${xmlText(area)}</definedName>`,
    },
  ]
}

const lastPrintedRow = ({ rows, charts = [] }: Page): number =>
  Math.max(rows.length - 1, ...charts.map((chart) => chart.row + ROWS_UNDER_A_CHART))

/** The children of a worksheet in the order the schema demands (ECMA-376 part 1, CT_Worksheet). */
function sheetXml(page: Page, shown: boolean, styles: StyleSheet): string {
  const width = Math.max(1, page.widths.length, ...page.rows.map((row) => row.length))
  const { headings, rows, detailRows } = page
  const outlined = (detailRows?.size ?? 0) > 0
  return [
    `${head}<worksheet xmlns="${main}" xmlns:r="${relationships}"><sheetPr>${outlined ? '<outlinePr summaryBelow="0"/>' : ''}<pageSetUpPr fitToPage="1"/></sheetPr>`,
    `<dimension ref="A1:${address(width - 1, Math.max(0, rows.length - 1))}"/>`,
    sheetView(page, shown),
    `<sheetFormatPr defaultRowHeight="13.5"${outlined ? ' outlineLevelRow="1"' : ''}/>`,
    page.widths.length > 0 ? `<cols>${page.widths.map(columnXml).join('')}</cols>` : '',
    `<sheetData>${rows.map((row, r) => rowXml(row, r, page, styles)).join('')}</sheetData>`,
    page.protected
      ? '<sheetProtection sheet="1" objects="1" scenarios="1" formatColumns="0" formatRows="0" sort="0" autoFilter="0"/>'
      : '',
    headings
      ? `<autoFilter ref="${address(0, headings.row)}:${address(headings.columns - 1, rows.length - 1)}"/>`
      : '',
    ...(page.looks ?? []).map(lookXml),
    validations(page.numbersOnly ?? [], page.lists ?? []),
    '<pageMargins left="0.5" right="0.5" top="0.6" bottom="0.6" header="0.3" footer="0.3"/>',
    `<pageSetup paperSize="9" orientation="${page.portrait ? 'portrait' : 'landscape'}" fitToWidth="1" fitToHeight="${paperPages(page)}"/>`,
    '<headerFooter><oddFooter>&amp;L&amp;A&amp;R&amp;P / &amp;N</oddFooter></headerFooter>',
    page.charts?.length ? '<drawing r:id="rId1"/>' : '',
    '</worksheet>',
  ].join('')
}

/** Pages a sheet is fitted to in height: rows smaller than these are not read with pleasure. */
function paperPages({ rows, detailRows, onePage, portrait }: Page): number {
  const shown = rows.length - (detailRows?.size ?? 0)
  return onePage ? 1 : Math.max(1, Math.ceil(shown / (portrait ? 90 : 55)))
}

function sheetView({ frozen }: Page, shown: boolean): string {
  const open = `<sheetViews><sheetView showGridLines="0"${shown ? ' tabSelected="1"' : ''} workbookViewId="0">`
  if (!frozen || (frozen.rows === 0 && frozen.columns === 0)) return `${open}</sheetView></sheetViews>`
  const { rows, columns } = frozen
  const pane = rows > 0 && columns > 0 ? 'bottomRight' : rows > 0 ? 'bottomLeft' : 'topRight'
  const split = `${columns > 0 ? ` xSplit="${columns}"` : ''}${rows > 0 ? ` ySplit="${rows}"` : ''}`
  const first = address(columns, rows)
  return [
    open,
    `<pane${split} topLeftCell="${first}" activePane="${pane}" state="frozen"/>`,
    `<selection pane="${pane}" activeCell="${first}" sqref="${first}"/></sheetView></sheetViews>`,
  ].join('')
}

const columnXml = (width: number, i: number): string =>
  `<col min="${i + 1}" max="${i + 1}" width="${width === 0 ? 9 : width}"${width === 0 ? ' hidden="1"' : ''} customWidth="1"/>`

const LINE_HEIGHT = 13.5
const ROWS_UNDER_A_CHART = 16

function rowXml(
  row: readonly (Content | undefined)[],
  r: number,
  { widths, detailRows }: Page,
  styles: StyleSheet,
): string {
  const cells: string[] = []
  row.forEach((content, c) => {
    if (content) cells.push(cellXml(content, address(c, r), styles))
  })
  if (cells.length === 0) return ''
  const height = Math.max(...row.map((content, c) => heightOf(content, widths[c] ?? 0)))
  const tall = height > LINE_HEIGHT ? ` ht="${height}" customHeight="1"` : ''
  const folded = detailRows?.has(r) ? ' outlineLevel="1" hidden="1"' : ''
  // The row that a group belongs to stands above it.
  const opens = detailRows?.has(r + 1) && !folded ? ' collapsed="1"' : ''
  return `<row r="${r + 1}"${tall}${folded}${opens}>${cells.join('')}</row>`
}

/** Points a cell needs. Programs do not agree on fitting heights when a file is opened, so it is reckoned here. */
function heightOf(content: Content | undefined, width: number): number {
  if (content && 'formula' in content) return (content.lines ?? 0) * LINE_HEIGHT
  if (!content || !('text' in content)) return 0
  const { font, wrap } = content.style ?? {}
  if (font === 'title') return 24
  if (!wrap || width === 0) return 0
  // Bold letters are wider than the digits that column widths are counted in.
  const perLine = width * (font === 'caution' || font === 'heading' ? 0.95 : 1.1)
  return Math.min(20, Math.ceil(content.text.length / perLine)) * LINE_HEIGHT
}

function cellXml(content: Content, at: string, styles: StyleSheet): string {
  const style = content.style ?? {}
  if ('text' in content) {
    if (content.text === '') return `<c r="${at}" s="${styles.indexOf(style)}"/>`
    const s = styles.indexOf(startsLikeFormula(content.text) ? { ...style, quotePrefix: true } : style)
    return `<c r="${at}" s="${s}" t="inlineStr"><is><t xml:space="preserve">${cellText(content.text)}</t></is></c>`
  }
  const s = styles.indexOf(style)
  if ('formula' in content) return `<c r="${at}" s="${s}"><f>${xmlText(content.formula)}</f></c>`
  if ('number' in content && Number.isFinite(content.number))
    return `<c r="${at}" s="${s}"><v>${content.number}</v></c>`
  return `<c r="${at}" s="${s}"/>`
}

const lookXml = ({ range, condition, look }: ConditionalLook, i: number): string =>
  `<conditionalFormatting sqref="${range}"><cfRule type="expression" dxfId="${look}" priority="${i + 1}"><formula>${xmlText(condition)}</formula></cfRule></conditionalFormatting>`

function validations(ranges: readonly string[], lists: NonNullable<Page['lists']>): string {
  if (ranges.length + lists.length === 0) return ''
  const rule = (range: string) => {
    const first = range.split(/[: ]/)[0]
    return [
      '<dataValidation type="custom" errorStyle="stop" allowBlank="0" showErrorMessage="1"',
      ' errorTitle="A number is needed" error="Type the number alone, in the unit of the row."',
      ` sqref="${range}"><formula1>ISNUMBER(${first})</formula1></dataValidation>`,
    ].join('')
  }
  const choice = ({ range, texts }: (typeof lists)[number]) =>
    [
      '<dataValidation type="list" errorStyle="stop" allowBlank="1" showErrorMessage="1"',
      ' errorTitle="One of the list is needed" error="Choose one of the list."',
      ` sqref="${range}"><formula1>${texts}</formula1></dataValidation>`,
    ].join('')
  return [
    `<dataValidations count="${ranges.length + lists.length}">`,
    ...ranges.map(rule),
    ...lists.map(choice),
    '</dataValidations>',
  ].join('')
}
