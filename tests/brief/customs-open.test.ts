import { expect, it } from 'vitest'
import { customsBrief } from '../../src/brief/customs-brief.js'
import { customsSection } from '../../src/brief/sections/customs.js'
import { ENGLISH_WORDS } from '../../src/paper/words.js'
import { moveOf, planWith } from './household.js'

// Pisco taken into the European Union: no rate of duty and no excise in the tables, so the tax cannot be told either.
it('a charge that could not be determined is not shown as zero', async () => {
  const move = await moveOf('valparaiso-gdynia')
  const plan = planWith(move, [
    { id: 'take.X-01', value: 'ship' },
    { id: 'take.X-02', value: 'ship' },
  ])
  const brief = customsBrief(move, plan, ENGLISH_WORDS)
  if (!brief) throw new Error('no customs')
  const open = plan.sheet.customs.undetermined.map(({ what }) => what)
  expect(open).toContain('duty, excise and import tax on alcohol')
  const alcohol = brief.dutiable.find(({ item }) => item === 'alcohol')
  expect(alcohol?.open).toEqual({ duty: true, tax: true })
  const source = { move, plans: [plan], recommended: plan, minorUnits: 2 }
  const shown = JSON.stringify(customsSection(source, ENGLISH_WORDS, brief).blocks)
  expect(shown.match(/"not determined"/g)).toHaveLength(2)
})
