import { head, relationships } from './markup.js'
import { xmlText } from './text.js'

/** A column chart over cells of the workbook, drawn anew when they change. */
export interface Chart {
  readonly title: string
  /** What the upright axis measures: a unit. */
  readonly axis: string
  /** Columns on top of one another, or side by side. */
  readonly stacked: boolean
  /** Range of the texts below the columns. */
  readonly categories: string
  readonly series: readonly { readonly name: string; readonly values: string }[]
  /** The cell at its upper left corner, zero-based. */
  readonly column: number
  readonly row: number
}

const chartSpace = 'http://schemas.openxmlformats.org/drawingml/2006/chart'
const drawingMain = 'http://schemas.openxmlformats.org/drawingml/2006/main'
const sheetDrawing = 'http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing'

/** English metric units: 360 000 in a centimetre (ISO/IEC 29500-1, ST_Coordinate). */
const CM = 360_000
const WIDTH = 9.8 * CM
const HEIGHT = 7.4 * CM

// Told apart also by those who do not see red and green, and on a grey print by their lightness.
const COLOURS = ['123B4A', 'E08E2B', '5AA6B8', '7A1F00', 'B9C4C9', '7B6BA8', 'C7B446']

/** The part that places the charts of one sheet (ISO/IEC 29500-1, 20.5). */
export function drawingXml(charts: readonly Chart[]): string {
  const anchors = charts.map(({ title, column, row }, i) =>
    [
      '<xdr:oneCellAnchor>',
      `<xdr:from><xdr:col>${column}</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>${row}</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:from>`,
      `<xdr:ext cx="${WIDTH}" cy="${HEIGHT}"/>`,
      '<xdr:graphicFrame macro=""><xdr:nvGraphicFramePr>',
      `<xdr:cNvPr id="${i + 2}" name="Chart ${i + 1}" descr="${xmlText(title)}"/><xdr:cNvGraphicFramePr/>`,
      '</xdr:nvGraphicFramePr><xdr:xfrm><a:off x="0" y="0"/><a:ext cx="0" cy="0"/></xdr:xfrm>',
      `<a:graphic><a:graphicData uri="${chartSpace}">`,
      `<c:chart xmlns:c="${chartSpace}" xmlns:r="${relationships}" r:id="rId${i + 1}"/>`,
      '</a:graphicData></a:graphic></xdr:graphicFrame><xdr:clientData/></xdr:oneCellAnchor>',
    ].join(''),
  )
  return `${head}<xdr:wsDr xmlns:xdr="${sheetDrawing}" xmlns:a="${drawingMain}">${anchors.join('')}</xdr:wsDr>`
}

/** One chart (ISO/IEC 29500-1, 21.2). It holds no figures of its own, so it shows what the cells say. */
export function chartXml({ title, axis, stacked, categories, series }: Chart): string {
  return [
    `${head}<c:chartSpace xmlns:c="${chartSpace}" xmlns:a="${drawingMain}" xmlns:r="${relationships}">`,
    '<c:roundedCorners val="0"/><c:chart>',
    titleXml(title, 1100),
    '<c:autoTitleDeleted val="0"/><c:plotArea><c:layout/>',
    `<c:barChart><c:barDir val="col"/><c:grouping val="${stacked ? 'stacked' : 'clustered'}"/><c:varyColors val="0"/>`,
    ...series.map(({ name, values }, i) =>
      [
        `<c:ser><c:idx val="${i}"/><c:order val="${i}"/>`,
        `<c:tx><c:strRef><c:f>${xmlText(name)}</c:f></c:strRef></c:tx>`,
        `<c:spPr><a:solidFill><a:srgbClr val="${COLOURS[i % COLOURS.length]}"/></a:solidFill></c:spPr>`,
        '<c:invertIfNegative val="0"/>',
        `<c:cat><c:strRef><c:f>${xmlText(categories)}</c:f></c:strRef></c:cat>`,
        `<c:val><c:numRef><c:f>${xmlText(values)}</c:f></c:numRef></c:val></c:ser>`,
      ].join(''),
    ),
    `<c:gapWidth val="60"/>${stacked ? '<c:overlap val="100"/>' : ''}<c:axId val="1"/><c:axId val="2"/></c:barChart>`,
    '<c:catAx><c:axId val="1"/><c:scaling><c:orientation val="minMax"/></c:scaling><c:delete val="0"/>',
    `<c:axPos val="b"/><c:majorTickMark val="none"/><c:minorTickMark val="none"/><c:tickLblPos val="low"/>${small}<c:crossAx val="2"/></c:catAx>`,
    '<c:valAx><c:axId val="2"/><c:scaling><c:orientation val="minMax"/></c:scaling><c:delete val="0"/>',
    '<c:axPos val="l"/><c:majorGridlines><c:spPr><a:ln w="6350"><a:solidFill><a:srgbClr val="D0D7DA"/></a:solidFill></a:ln></c:spPr></c:majorGridlines>',
    `${titleXml(axis, 800)}<c:numFmt formatCode="#,##0" sourceLinked="0"/><c:majorTickMark val="none"/><c:minorTickMark val="none"/>`,
    `<c:tickLblPos val="nextTo"/>${small}<c:crossAx val="1"/></c:valAx></c:plotArea>`,
    `<c:legend><c:legendPos val="b"/><c:overlay val="0"/>${small}</c:legend>`,
    '<c:plotVisOnly val="0"/></c:chart></c:chartSpace>',
  ].join('')
}

const small =
  '<c:txPr><a:bodyPr/><a:p><a:pPr><a:defRPr sz="800"/></a:pPr><a:endParaRPr lang="en-GB"/></a:p></c:txPr>'

const titleXml = (text: string, size: number): string =>
  `<c:title><c:tx><c:rich><a:bodyPr/><a:p><a:pPr><a:defRPr sz="${size}" b="1"/></a:pPr><a:r><a:rPr lang="en-GB" sz="${size}" b="1"/><a:t>${xmlText(text)}</a:t></a:r></a:p></c:rich></c:tx><c:overlay val="0"/></c:title>`
