import { strToU8 } from 'fflate'
import type { Sender } from '../paper/blocks.js'
import { type CsvFile, readGrid } from '../tables/csv.js'
import { suggestion } from '../tables/nearest.js'
import type { Problem, Read } from '../tables/problem.js'

/** The facts of brief.csv, each with what it is for. */
export const SENDER_FACTS = {
  name: 'who sends the brief: a consultant or a firm',
  address: 'postal address, its lines separated by |',
  contact: 'telephone, e-mail or web address, separated by |',
  logo: 'an SVG or PNG file beside brief.csv',
  logo_alt: 'what the logo shows, for readers who do not see it; blank: the name',
  closing: 'closing words at the end of the pages that are sent',
} as const

const MOST_BYTES = 300_000
const MOST_PIXELS = 3000
const LEAST_PIXELS = 32

/** A file beside brief.csv, as its bytes; undefined where it is not there. */
export type ReadBeside = (name: string) => Uint8Array | undefined

/**
 * Who sends a brief, from brief.csv (`fact,value`) and the logo that it names.
 *
 * @returns the sender, or every problem: an unknown fact, one given twice, a logo that is missing, too large in bytes or
 *   pixels, not an SVG or PNG, or an SVG that loads or runs something
 */
export function readSender(csv: CsvFile, beside: ReadBeside): Read<Sender> {
  const grid = readGrid(csv)
  if (!grid.ok) return grid
  const { header, rows, headerLine } = grid.value
  const [factAt, valueAt] = [header.indexOf('fact'), header.indexOf('value')]
  if (factAt < 0 || valueAt < 0) {
    const problem = { file: csv.file, line: headerLine, column: 'header', found: header.join(',') }
    return {
      ok: false,
      problems: [
        { ...problem, expected: 'the columns fact and value', fix: 'Write fact,value in the first line.' },
      ],
    }
  }
  const problems: Problem[] = []
  const facts = new Map<string, { readonly text: string; readonly line: number }>()
  for (const { line, cells } of rows) {
    const fact = cells[factAt] ?? ''
    const problem = (found: string, expected: string, fix: string) =>
      problems.push({ file: csv.file, line, column: 'fact', found, expected, fix })
    if (!(fact in SENDER_FACTS)) {
      const known = Object.keys(SENDER_FACTS)
      problem(fact, `one of ${known.join(', ')}`, suggestion(fact, known))
    } else if (facts.has(fact)) problem(fact, 'each fact once', 'Remove one of the two rows.')
    else facts.set(fact, { text: cells[valueAt] ?? '', line })
  }
  const text = (fact: keyof typeof SENDER_FACTS) => facts.get(fact)?.text ?? ''
  const parts = (fact: keyof typeof SENDER_FACTS) =>
    text(fact)
      .split('|')
      .map((part) => part.trim())
      .filter((part) => part !== '')
  const logo = facts.get('logo')
  const picture = logo && logo.text !== '' ? readLogo(csv.file, logo.text, logo.line, beside) : undefined
  if (picture && !picture.ok) problems.push(...picture.problems)
  if (text('name') === '')
    problems.push({
      file: csv.file,
      line: facts.get('name')?.line ?? headerLine,
      column: 'value',
      found: '',
      expected: SENDER_FACTS.name,
      fix: 'Add the row name, as in name,Harbour Lane Relocation.',
    })
  if (problems.length > 0) return { ok: false, problems }
  return {
    ok: true,
    value: {
      name: text('name'),
      address: parts('address'),
      contact: parts('contact'),
      closing: text('closing'),
      ...(picture?.ok
        ? { logo: { ...picture.value, alt: text('logo_alt') === '' ? text('name') : text('logo_alt') } }
        : {}),
    },
  }
}

interface Logo {
  readonly address: string
  readonly width: number
  readonly height: number
}

function readLogo(file: string, name: string, line: number, beside: ReadBeside): Read<Logo> {
  const refuse = (found: string, expected: string, fix: string): Read<never> => ({
    ok: false,
    problems: [{ file, line, column: 'logo', found, expected, fix }],
  })
  if (/[\\/]/.test(name))
    return refuse(name, 'the name of a file beside brief.csv', 'Write the name alone, as in logo.svg.')
  const bytes = beside(name)
  if (bytes === undefined)
    return refuse(name, 'a file beside brief.csv', `Put ${name} into the folder, or correct its name.`)
  if (bytes.length > MOST_BYTES)
    return refuse(
      `${name}, ${Math.ceil(bytes.length / 1000)} kB`,
      `at most ${MOST_BYTES / 1000} kB`,
      'Save it smaller; 600 pixels across are enough for print.',
    )
  const png = pngSize(bytes)
  const svg = png === undefined ? new TextDecoder().decode(bytes) : ''
  const size = png ?? svgSize(svg)
  if (size === undefined)
    return refuse(
      name,
      'an SVG with a width and height or a viewBox, or a PNG',
      'Export the logo again as SVG or PNG.',
    )
  const active =
    /<script|<foreignObject|<!ENTITY|\son\w+\s*=|(?:href|src)\s*=\s*["'](?!#|data:image\/)|url\(\s*["']?(?!#|data:image\/)|@import/i.exec(
      svg,
    )
  if (active)
    return refuse(
      `${name} with ${active[0].trim()}`,
      'an SVG that runs and loads nothing',
      'Export the logo as plain SVG with its pictures inside, or as PNG.',
    )
  const [width, height] = size
  if (Math.max(width, height) > MOST_PIXELS || Math.min(width, height) < (png ? LEAST_PIXELS : 1))
    return refuse(
      `${name}, ${width} by ${height}`,
      `a logo from ${LEAST_PIXELS} to ${MOST_PIXELS} pixels on each side`,
      'Scale it; 600 pixels across are enough for print.',
    )
  const mime = png ? 'image/png' : 'image/svg+xml'
  return { ok: true, value: { address: `data:${mime};base64,${base64(bytes)}`, width, height } }
}

const base64 = (bytes: Uint8Array): string => {
  let text = ''
  for (let at = 0; at < bytes.length; at += 0x8000)
    text += String.fromCharCode(...bytes.subarray(at, at + 0x8000))
  return btoa(text)
}

const PNG_SIGNATURE = [0x89, ...strToU8('PNG\r\n\x1a\n')]

/** Width and height in the IHDR chunk, which the PNG specification puts first. */
function pngSize(bytes: Uint8Array): readonly [number, number] | undefined {
  if (bytes.length < 24 || PNG_SIGNATURE.some((byte, at) => bytes[at] !== byte)) return undefined
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  return [view.getUint32(16), view.getUint32(20)]
}

function svgSize(text: string): readonly [number, number] | undefined {
  const tag = /<svg\b[^>]*>/.exec(text)?.[0]
  if (tag === undefined) return undefined
  const length = (name: string): number | undefined => {
    const found = new RegExp(`\\s${name}\\s*=\\s*["']([\\d.]+)(?:px)?["']`).exec(tag)?.[1]
    return found === undefined ? undefined : Number(found)
  }
  const box = /\sviewBox\s*=\s*["']\s*[-\d.]+[\s,]+[-\d.]+[\s,]+([\d.]+)[\s,]+([\d.]+)/.exec(tag)
  const width = length('width') ?? (box ? Number(box[1]) : undefined)
  const height = length('height') ?? (box ? Number(box[2]) : undefined)
  return width && height ? [width, height] : undefined
}
