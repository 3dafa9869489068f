/**
 * The pages on which the named destinations of a PDF lie: where a heading with an id came to stand. Reads the plain
 * objects that Chromium writes (PDF 1.4, no object streams); names follow ISO 32000-1, 7.3.5.
 *
 * @returns page numbers from 1 by name, and how many pages there are; empty where the file is written otherwise
 */
export function pdfPages(bytes: Uint8Array): {
  readonly count: number
  readonly of: ReadonlyMap<string, number>
} {
  const text = latin1(bytes)
  const object = (number: string): string => {
    const start = new RegExp(`(?:^|[\\r\\n])${number} 0 obj\\b`).exec(text)
    if (!start) return ''
    return text.slice(start.index, text.indexOf('endobj', start.index))
  }
  const root = /\/Type\s*\/Catalog[\s\S]*?\/Pages (\d+) 0 R|\/Pages (\d+) 0 R[\s\S]*?\/Type\s*\/Catalog/.exec(
    text,
  )
  const order: string[] = []
  const walk = (number: string): void => {
    const body = object(number)
    const kids = /\/Kids\s*\[([^\]]*)\]/.exec(body)?.[1]
    if (kids === undefined) order.push(number)
    else for (const [, kid = ''] of kids.matchAll(/(\d+) 0 R/g)) walk(kid)
  }
  const top = root?.[1] ?? root?.[2]
  if (top !== undefined) walk(top)
  const of = new Map<string, number>()
  const dests = /\/Dests (\d+) 0 R/.exec(text)?.[1]
  if (dests !== undefined) {
    for (const [, name = '', page = ''] of object(dests).matchAll(/\/([^\s[\]<>()/]+)\s*\[\s*(\d+) 0 R/g)) {
      const at = order.indexOf(page)
      if (at >= 0) of.set(nameText(name), at + 1)
    }
  }
  return { count: order.length, of }
}

const nameText = (name: string): string =>
  name.replace(/#([0-9A-Fa-f]{2})/g, (_, hex: string) => String.fromCharCode(Number.parseInt(hex, 16)))

function latin1(bytes: Uint8Array): string {
  let text = ''
  for (let at = 0; at < bytes.length; at += 0x8000)
    text += String.fromCharCode(...bytes.subarray(at, at + 0x8000))
  return text
}
