import { strFromU8, unzipSync } from 'fflate'

/** An element as a strict reading of the XML finds it. */
export interface Element {
  readonly name: string
  readonly attributes: Readonly<Record<string, string>>
  readonly children: Element[]
  text: string
}

const entities: Readonly<Record<string, string>> = { lt: '<', gt: '>', amp: '&', quot: '"', apos: "'" }

function unescaped(text: string): string {
  if (/[<]|&(?!(lt|gt|amp|quot|apos);)/.test(text)) throw new Error(`not well formed: ${text.slice(0, 80)}`)
  return text.replace(/&(\w+);/g, (_, name: string) => entities[name] ?? '')
}

/** Parses XML and throws at the first thing that is not well formed. */
export function parseXml(xml: string): Element {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: a strict reader refuses them
  if (/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/.test(xml))
    throw new Error('a character XML 1.0 forbids')
  const top: Element = { name: '', attributes: {}, children: [], text: '' }
  const open = [top]
  const body = xml.replace(/^<\?xml version="1\.0" encoding="UTF-8" standalone="yes"\?>\n/, '')
  const token = /<(\/?)([A-Za-z][\w:]*)((?:\s+[\w:]+="[^"<]*")*)\s*(\/?)>|([^<]+)/gy
  let at = 0
  while (at < body.length) {
    token.lastIndex = at
    const found = token.exec(body)
    if (!found) throw new Error(`not well formed at ${body.slice(at, at + 80)}`)
    at = token.lastIndex
    const [, closing, name = '', attributes = '', empty, text] = found
    const here = open.at(-1) ?? top
    if (text !== undefined) here.text += unescaped(text)
    else if (closing) {
      if (here.name !== name) throw new Error(`</${name}> closes <${here.name}>`)
      open.pop()
    } else {
      const pairs = [...attributes.matchAll(/([\w:]+)="([^"]*)"/g)].map(
        ([, k = '', v = '']) => [k, unescaped(v)] as const,
      )
      if (new Set(pairs.map(([k]) => k)).size < pairs.length)
        throw new Error(`an attribute twice in <${name}>`)
      const element = { name, attributes: Object.fromEntries(pairs), children: [], text: '' }
      here.children.push(element)
      if (!empty) open.push(element)
    }
  }
  if (open.length !== 1 || top.children.length !== 1) throw new Error('elements left open')
  return top.children[0] as Element
}

/** A cell as the file holds it. */
export interface FileCell {
  readonly formula?: string
  readonly number?: number
  readonly text?: string
  readonly style: number
}

export interface FileSheet {
  readonly name: string
  readonly hidden: boolean
  readonly xml: Element
  readonly cells: ReadonlyMap<string, FileCell>
}

export interface FileBook {
  readonly parts: Readonly<Record<string, string>>
  readonly sheets: readonly FileSheet[]
  readonly names: ReadonlyMap<string, string>
  readonly styles: Element
}

export const child = (element: Element, name: string): Element | undefined =>
  element.children.find((c) => c.name === name)

/** Reads a workbook back from its bytes; every part must be well formed and reachable. */
export function readBook(bytes: Uint8Array): FileBook {
  const parts = Object.fromEntries(
    Object.entries(unzipSync(bytes)).map(([path, data]) => [path, strFromU8(data)]),
  )
  const part = (path: string) => parseXml(parts[path] ?? '')
  const book = part('xl/workbook.xml')
  const targets = new Map(
    part('xl/_rels/workbook.xml.rels').children.map((r) => [r.attributes.Id, r.attributes.Target]),
  )
  const sheets = (child(book, 'sheets')?.children ?? []).map((s) => {
    const xml = part(`xl/${targets.get(s.attributes['r:id'] ?? '')}`)
    return {
      name: s.attributes.name ?? '',
      hidden: s.attributes.state === 'hidden',
      xml,
      cells: cellsOf(xml),
    }
  })
  const names = new Map(
    (child(book, 'definedNames')?.children ?? [])
      .filter((d) => d.attributes.localSheetId === undefined)
      .map((d) => [d.attributes.name ?? '', d.text]),
  )
  return { parts, sheets, names, styles: part('xl/styles.xml') }
}

function cellsOf(sheet: Element): Map<string, FileCell> {
  const cells = new Map<string, FileCell>()
  for (const row of child(sheet, 'sheetData')?.children ?? []) {
    for (const c of row.children) {
      const { r = '', s = '0', t } = c.attributes
      const value = child(c, 'v')?.text
      const text = t === 'inlineStr' ? c.children[0]?.children[0]?.text : undefined
      cells.set(r, {
        style: Number(s),
        ...(child(c, 'f') ? { formula: child(c, 'f')?.text ?? '' } : {}),
        ...(value !== undefined ? { number: Number(value) } : {}),
        ...(text !== undefined ? { text } : {}),
      })
    }
  }
  return cells
}
