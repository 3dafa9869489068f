// One sheet of the file (ECMA-376 part 1, CT_Worksheet).
import { head, main, relationships } from './markup.js'
import { address } from './names.js'
import type { ConditionalLook, Content, Page } from './page-content.js'
import type { StyleSheet } from './styles.js'
import { cellText, startsLikeFormula, xmlText } from './text.js'

/** The children of a worksheet in the order the schema demands (ECMA-376 part 1, CT_Worksheet). */
export function sheetXml(page: Page, shown: boolean, styles: StyleSheet): string {
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
