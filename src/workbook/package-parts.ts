import { strToU8, type Zippable, zipSync } from 'fflate'
import { chartXml, drawingXml } from './chart-parts.js'
import { head, main, relationships } from './markup.js'
import { fixedAddress, sheetPrefix } from './names.js'
import type { BookParts, Page } from './page-content.js'
import { sheetXml } from './sheet-part.js'
import { StyleSheet } from './styles.js'
import { xmlText } from './text.js'

const packaging = 'http://schemas.openxmlformats.org/package/2006'
const types = 'application/vnd.openxmlformats-officedocument.spreadsheetml'
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

const ROWS_UNDER_A_CHART = 16

const lastPrintedRow = ({ rows, charts = [] }: Page): number =>
  Math.max(rows.length - 1, ...charts.map((chart) => chart.row + ROWS_UNDER_A_CHART))
