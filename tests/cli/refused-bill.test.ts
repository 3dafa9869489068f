import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { main } from '../../src/cli/main.js'
import { packageRoot } from '../../src/plan/open.js'

const folder = mkdtempSync(join(tmpdir(), 'quaybook-refused-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

type Damage = readonly [file: string, edit: (text: string) => string]

test.each<readonly [what: string, damage: Damage, place: RegExp, remedy: RegExp]>([
  [
    'an unknown provider',
    ['services.csv', (text) => text.replace('packing,self', 'packing,elves')],
    /services\.csv:\d+: provider: found "elves"/,
    /mover/,
  ],
  [
    'a lane without a price',
    ['household.csv', (text) => text.replace('destination_country,PL', 'destination_country,AQ')],
    /household\.csv:\d+: destination_country: found "AQ"/,
    /rates\.csv/,
  ],
  [
    'a bundle with an unknown service',
    ['quotes.csv', (text) => text.replace('materials|packing', 'materials|juggling')],
    /quotes\.csv:\d+: services: found "juggling"/,
    /packing/,
  ],
  [
    'a lump sum in an unknown currency',
    ['household.csv', (text) => `${text.trimEnd()}\nemployer_lump_sum,500,\nemployer_currency,XQX,\n`],
    /household\.csv:\d+: employer_currency: found "XQX"/,
    /EUR|code/,
  ],
])(
  '%s is refused with its place and what to do, and nothing is written',
  async (what, [file, edit], place, remedy) => {
    const home = join(folder, what.replaceAll(' ', '-'))
    const out = join(home, 'out')
    cpSync(join(packageRoot, 'data/households/valparaiso-gdynia'), home, { recursive: true })
    rmSync(join(home, 'rates.csv'))
    const path = join(home, file)
    const before = readFileSync(path, 'utf8')
    const after = edit(before)
    expect(after).not.toBe(before)
    writeFileSync(path, after)
    const err: string[] = []
    const code = await main(['brief', home, '--out', out], {
      out: () => undefined,
      err: (text) => err.push(text),
    })
    expect(code).not.toBe(0)
    const line = err
      .join('\n')
      .split('\n')
      .find((text) => place.test(text))
    expect(line, err.join('\n')).toBeDefined()
    expect(line).toMatch(remedy)
    expect(existsSync(out)).toBe(false)
  },
)
