import { mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { run } from '../command.js'
import { writtenHousehold } from '../plan/written-household.js'

async function customs(folder: string): Promise<string> {
  const { code, out } = await run('customs', folder, '--out', mkdtempSync(join(tmpdir(), 'customs-')))
  expect(code).toBe(0)
  return out
}

describe('quaybook customs', () => {
  const folder = () =>
    writtenHousehold({
      facts: { destination_country: 'TH' },
      exchange: ['THB,USD,0.029,2026-11-20,invented'],
      people: 'A,permit-worker,yes,2019-01-01,2027-03-03,2027-03-06,24',
      lines: [
        'L-3,Loft,Upright piano,1,1.6,220,2500,6000,2018-01-01,good,,piano,wrapped,ship,',
        'L-4,Loft,Wine,12,0.005,1.3,20,30,2024-01-01,good,,alcohol,dish-pack,ship,',
        'A-1,Loft,Clothes,6,0.1,12,100,200,2022-01-01,good,air,clothing,medium,ship,',
      ],
      consignments: ['air,air,2027-03-15,680,40,60,'],
    })

  it('says which rule frees which things, why others are refused, and what is not in the tests', async () => {
    const out = await customs(folder())
    const relief = out.slice(out.indexOf('Relief, where A declares'), out.indexOf('Apart from'))
    const row = (lines: string) => relief.split('\n').find((each) => each.startsWith(`${lines} `)) ?? ''
    expect(row('L-1, L-2, A-1')).toMatch(
      /qualifies .*used household effects.*Not tested: .*list of quantities/,
    )
    // Thai customs, criteria for used household effects: musical instruments are taxed (looked up 2026-11-26).
    expect(row('L-3')).toMatch(/refused .*Goods of the class piano are left out of this relief\.$/)
  })

  it('says that the charges are no whole figure where something is open, in their own money', async () => {
    const out = await customs(folder())
    expect(out).toMatch(/What would change the charges of [\d,.]+ THB, as far as determined\n +saves, THB/)
    expect(out).toContain('duty, excise and import tax on alcohol: L-4')
  })

  it('lists what goes apart from the container, with its day and its carriage', async () => {
    expect(await customs(folder())).toMatch(/air +air +2027-03-15 +A-1 Clothes +780\.00/)
  })
})
