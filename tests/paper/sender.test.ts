import { describe, expect, it, test } from 'vitest'
import { readSender } from '../../src/brief/index.js'

const csv = (...rows: string[]) => ({ file: 'brief.csv', text: ['fact,value', ...rows, ''].join('\n') })
const svg = (inside: string, size = 'viewBox="0 0 200 50"') =>
  new TextEncoder().encode(`<svg xmlns="http://www.w3.org/2000/svg" ${size}>${inside}</svg>`)
/** The first chunk of a PNG as its specification (ISO/IEC 15948, 11.2.2) lays it out. */
function png(width: number, height: number): Uint8Array {
  const bytes = new Uint8Array(33)
  bytes.set([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13, 0x49, 0x48, 0x44, 0x52])
  const view = new DataView(bytes.buffer)
  view.setUint32(16, width)
  view.setUint32(20, height)
  return bytes
}
const problemOf = (rows: readonly string[], file?: Uint8Array) => {
  const read = readSender(csv(...rows), () => file)
  return read.ok ? undefined : read.problems
}

describe('brief.csv', () => {
  it('gives name, address, contact, closing words and logo', () => {
    const read = readSender(
      csv(
        'name,Harbour Lane Relocation',
        'address,1 Quay Row|Porto Novo',
        'logo,logo.svg',
        'closing,Call us before you sign.',
      ),
      () => svg('<rect width="9" height="9"/>'),
    )
    if (!read.ok) throw new Error(JSON.stringify(read.problems))
    expect(read.value).toMatchObject({
      name: 'Harbour Lane Relocation',
      address: ['1 Quay Row', 'Porto Novo'],
      closing: 'Call us before you sign.',
      logo: { width: 200, height: 50, alt: 'Harbour Lane Relocation' },
    })
    expect(read.value.logo?.address).toMatch(/^data:image\/svg\+xml;base64,/)
  })

  it('takes a PNG of a fair size', () => {
    expect(problemOf(['name,A', 'logo,l.png'], png(600, 150))).toBeUndefined()
  })

  it('tells of an unknown fact, one given twice, and a missing name', () => {
    const problems = problemOf(['adress,x', 'closing,a', 'closing,b']) ?? []
    expect(problems.map(({ found }) => found)).toEqual(['adress', 'closing', ''])
    expect(problems[0]?.fix).toContain('address')
  })
})

test.each([
  ['not beside the file', undefined, 'a file beside brief.csv'],
  ['too many pixels', png(6000, 100), 'a logo from 32 to 3000 pixels on each side'],
  ['too few pixels', png(600, 8), 'a logo from 32 to 3000 pixels on each side'],
  ['too many bytes', new Uint8Array(400_000), 'at most 300 kB'],
  [
    'no picture at all',
    new TextEncoder().encode('hello'),
    'an SVG with a width and height or a viewBox, or a PNG',
  ],
  ['a script', svg('<script>alert(1)</script>'), 'an SVG that runs and loads nothing'],
  ['a handler', svg('<rect onclick="x()"/>'), 'an SVG that runs and loads nothing'],
  [
    'something from the network',
    svg('<image href="//x.example/a.png"/>'),
    'an SVG that runs and loads nothing',
  ],
  ['a style from the network', svg('<style>@import "x"</style>'), 'an SVG that runs and loads nothing'],
])('a logo with %s is refused', (_, file, expected) => {
  expect(problemOf(['name,A', 'logo,l.svg'], file)?.[0]?.expected).toBe(expected)
})
