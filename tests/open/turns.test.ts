// Totals follow the last edit, whatever comes between: late packing, sliders, plans that fail.
import { join } from 'node:path'
import { afterEach, expect, it, vi } from 'vitest'
import { filesOn } from '../../src/open/desk.js'
import type { AnswersPane } from '../../src/open/page/answers.js'
import type { FromPlan, ToPlan } from '../../src/open/page/plan-worker.js'
import type { Answers } from '../../src/open/page/scenario-answers.js'
import { Turns } from '../../src/open/page/turns.js'
import { readFolder } from '../../src/tables/disk.js'

const GOOD = { ok: true, currency: 'EUR', scenarios: [], choices: [], asOf: '', questions: [] } as const
const told = (turn: number, packed = false): Extract<FromPlan, { tell: 'answers' }> => ({
  tell: 'answers',
  turn,
  answers: GOOD,
  packed,
  ms: 1,
})

function started() {
  const asked: ToPlan[] = []
  const shown: string[] = []
  const answered: Answers[] = []
  const pane: Pick<AnswersPane, 'show' | 'showFigures' | 'failed'> = {
    show: (_answers, why, footing, trial = false) => shown.push(`${why} ${footing}${trial ? ' tried' : ''}`),
    showFigures: () => false,
    failed: (why) => shown.push(`failed: ${why}`),
  }
  const turns = new Turns({
    ask: (message) => asked.push(message),
    pane,
    answered: (answers) => answered.push(answers),
    shown: (then) => then(),
  })
  return { asked, shown, answered, turns }
}

afterEach(() => vi.unstubAllGlobals())

it('asks nothing for a packed household once another edit is on its way', () => {
  const { asked, turns } = started()
  turns.plan({ 'a.csv': '1' }, 'first')
  turns.answers(told(1))
  turns.packed(1, { 'a.csv': '1' }, {})
  expect(asked).toMatchObject([{ turn: 1 }, { turn: 1, packed: true }])
  turns.plan({ 'a.csv': '2' }, 'second')
  turns.packed(1, { 'a.csv': '2' }, {})
  expect(asked.slice(2)).toMatchObject([{ turn: 2, packed: false }])
})

it('shows no answer of an older household over a newer one, packed or not', () => {
  const { shown, turns } = started()
  turns.plan({}, 'first')
  turns.plan({}, 'second')
  turns.answers(told(2))
  turns.answers(told(1))
  turns.answers(told(1, true))
  expect(shown).toEqual(['second volume'])
  expect(turns.waiting).toBe(0)
  expect(turns.planned).toBe(2)
})

it('tells nobody the answers of a slider that still moves', () => {
  const { shown, answered, turns } = started()
  turns.plan({}, '', true)
  turns.answers(told(1))
  expect(shown).toEqual([' volume tried'])
  expect(answered).toEqual([])
})

it('waits for no plan that failed, and says so of the newest alone', () => {
  const { shown, turns } = started()
  turns.plan({}, 'first')
  turns.plan({}, 'second')
  turns.failed({ tell: 'trouble', turn: 1, why: 'a' })
  expect([turns.waiting, shown]).toEqual([1, []])
  turns.failed({ tell: 'trouble', turn: 2, why: 'b' })
  turns.failed({ tell: 'trouble', turn: 2, why: 'b' })
  expect([turns.waiting, shown]).toEqual([0, ['failed: b']])
})

it('answers the newest edit in its worker, even if older plans are asked for again after it', async () => {
  const heard: FromPlan[] = []
  const scope = {
    postMessage: (message: FromPlan) => heard.push(message),
    onmessage: undefined as ((event: { data: ToPlan }) => void) | undefined,
  }
  vi.stubGlobal('self', scope)
  await import('../../src/open/page/plan-worker.js')
  const reference = await readFolder(join('data', 'reference'), 'reference')
  const customs = await readFolder(join('data', 'reference', 'customs'), 'reference/customs')
  if (!reference.ok || !customs.ok) throw new Error('the reference tables cannot be read')
  const { texts } = await filesOn(join('data', 'households', 'student-tromso-wellington'))
  const ask = (data: ToPlan): void => scope.onmessage?.({ data })
  ask({
    ask: 'read',
    reference: { reference: reference.value, customs: customs.value, theme: {} as never },
  })
  const plan = { ask: 'plan', texts, found: {} } as const
  ask({ ...plan, turn: 1, packed: false })
  await vi.waitFor(() => expect(heard.at(-1)).toMatchObject({ tell: 'answers', turn: 1 }), 30_000)
  ask({ ...plan, turn: 2, packed: false })
  ask({ ...plan, turn: 1, packed: true })
  await vi.waitFor(() => expect(heard.at(-1)).toMatchObject({ tell: 'answers', turn: 2 }), 30_000)
})
