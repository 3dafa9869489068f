// The saved notebooks answer the reader's questions as the commands do: each question is read out of each notebook.
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, it } from 'vitest'
import { main } from '../../src/cli/main.js'
import { packageRoot } from '../../src/plan/open.js'

const household = 'valparaiso-gdynia'

interface Compared {
  readonly recommendation: { readonly scenario: string; readonly sentence: string; readonly total: string }
  readonly scenarios: readonly {
    readonly name: string
    readonly choices: Readonly<Record<string, string>>
  }[]
  readonly rows: readonly { readonly id: string; readonly values: readonly (string | number)[] }[]
}

/** What a notebook prints: its cells by id, each the plain texts it put out. */
function printed(notebook: string): ReadonlyMap<string, string> {
  const { cells } = JSON.parse(readFileSync(join(packageRoot, 'notebooks', `${notebook}.ipynb`), 'utf8'))
  const joined = (text: string | readonly string[] | undefined) => [text ?? ''].flat().join('')
  return new Map(
    cells.map((cell: { id: string; outputs?: { data?: Record<string, string[]>; text?: string[] }[] }) => [
      cell.id,
      (cell.outputs ?? [])
        .map(({ data, text }) => joined(data?.['text/plain'] ?? text).replaceAll('\u00a0', ' '))
        .filter((text) => text !== 'undefined')
        .join('\n\n'),
    ]),
  )
}

/** The row of a printed table whose first column begins with a label: its other columns. */
function row(text: string | undefined, label: string): readonly string[] {
  const line = (text ?? '').split('\n').find((each) => each.startsWith(`${label}  `))
  if (line === undefined) throw new Error(`no row “${label}” in\n${text}`)
  return line.slice(label.length).trim().split(/ {2,}/)
}

const whole = (value: string | number | undefined) => Math.round(Number(value)).toLocaleString('en')
const cents = (value: string | number | undefined) =>
  Number(value).toLocaleString('en', { minimumFractionDigits: 2, maximumFractionDigits: 2 })

describe(`the saved notebooks of ${household}`, () => {
  let compared: Compared
  const of = (id: string) => compared.rows.find((each) => each.id === id)?.values ?? []
  const labels = (choice: string, table: string) => {
    const rows = readFileSync(join(packageRoot, 'data', 'reference', table), 'utf8').split('\n')
    const label = new Map(
      rows
        .map((line) => line.split(/,(?=(?:[^"]*"[^"]*")*[^"]*$)/))
        .map(([id, text]) => [id, text?.replaceAll('"', '')]),
    )
    return compared.scenarios.map(({ choices }) => label.get(choices[choice] ?? ''))
  }

  beforeAll(async () => {
    const out: string[] = []
    const folder = join(packageRoot, 'data', 'households', household)
    const cells = 'cost.total,cost.customs.total,volume.packed,cost.origin.total'
    const code = await main(['compare', folder, '--json', '--cells', cells], {
      out: (text) => out.push(text),
      err: () => undefined,
    })
    expect(code).toBe(0)
    compared = JSON.parse(out.join('\n'))
  }, 120_000)

  it('say how much is moved', () => {
    const all = row(printed('01-household-and-volume').get('rooms'), 'All rooms')
    expect(all[1]).toBe(`${Number(of('volume.packed')[0]).toFixed(1)} m³`)
  })

  it('say what each scenario books and costs', () => {
    const cells = printed('03-own-work-and-full-service')
    expect(row(cells.get('scenarios'), 'Carriage')).toEqual(labels('transport', 'containers.csv'))
    expect(row(cells.get('scenarios'), 'Cover')).toEqual(labels('cover', 'covers.csv'))
    expect(row(cells.get('scenarios'), 'Total')).toEqual(
      of('cost.total').map((total) => `EUR ${whole(total)}`),
    )
    expect(row(cells.get('lines'), 'The whole move')).toEqual(of('cost.total').map(cents))
  })

  it('say what customs charges', () => {
    expect(row(printed('04-customs').get('charges'), 'Charges')).toEqual(of('cost.customs.total').map(cents))
  })

  it('recommend the same, at the same price', () => {
    const { scenario, total, sentence } = compared.recommendation
    const brief = printed('06-client-brief').get('recommendation')
    expect(brief).toContain(`We recommend “${scenario}”`)
    expect(row(brief, 'Total')).toEqual([`EUR ${whole(total)}`])
    expect(printed('08-risk-and-the-cover-decision').get('advice')).toContain(sentence.replace('\u00a0', ' '))
  })

  it('draw around the planned total', () => {
    const planned = row(printed('08-risk-and-the-cover-decision').get('totals'), 'As planned')
    expect(planned).toEqual(of('cost.total').map(whole))
  })

  it('load the container that is booked', () => {
    const [booked] = labels('transport', 'containers.csv')
    expect(printed('09-load-plan').get('answer')).toContain(`Everything goes into one ${booked} container`)
    expect(row(printed('09-load-plan').get('answer'), booked ?? '')[0]).toBe('everything')
  })

  it('begin the study at the move as listed', () => {
    const [, diyOrigin, fullOrigin, diy, full] = row(printed('10-study').get('table'), 'CL')
    expect([diyOrigin, diy]).toEqual([whole(of('cost.origin.total')[0]), whole(of('cost.total')[0])])
    expect([fullOrigin, full]).toEqual([whole(of('cost.origin.total')[2]), whole(of('cost.total')[2])])
  })
})
