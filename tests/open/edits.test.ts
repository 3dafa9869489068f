import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  changed,
  type Edit,
  type FileChange,
  NO_HISTORY,
  type Step,
  stepped,
  type Texts,
  undoing,
} from '../../src/open/edits.js'
import { replacedText } from '../../src/tables/csv-edit.js'

const first: Texts = {
  'household.csv': 'fact,value,note\nname,A,\n',
  'inventory.csv': 'line,item\r\nK-1,"Sofa, long"\r\n',
}

/** A change of some file into another text, also into being and out of it. */
const wish = fc.record({
  file: fc.constantFrom('household.csv', 'inventory.csv', 'rates.csv'),
  text: fc.option(fc.string({ maxLength: 30 }), { nil: undefined }),
})

function editOf(texts: Texts, { file, text }: { file: string; text: string | undefined }, id: string): Edit {
  const before = texts[file]
  if (before === undefined && text === undefined) return { id, name: 'nothing', changes: [] }
  const life =
    before === undefined ? ('made' as const) : text === undefined ? ('dropped' as const) : undefined
  const change: FileChange = {
    file,
    patches: replacedText(before ?? '', text ?? ''),
    ...(life === undefined ? {} : { life }),
  }
  return { id, name: `change ${file}`, changes: [change] }
}

describe('a history', () => {
  it('of 60 random edits undone one by one ends at the first bytes of every file; redone, at the last', () => {
    fc.assert(
      fc.property(fc.array(wish, { minLength: 60, maxLength: 60 }), (wishes) => {
        let texts = first
        let history = NO_HISTORY
        const take = (step: Step): void => {
          const taken = stepped(history, step)
          if (!taken) return
          texts = changed(texts, taken.changes)
          history = taken.history
        }
        wishes.forEach((one, i) => {
          take({ kind: 'edit', edit: editOf(texts, one, `e${i}`) })
        })
        const last = texts
        for (let i = 0; i < 60; i++) take({ kind: 'undo' })
        expect(texts).toEqual(first)
        for (let i = 0; i < 60; i++) take({ kind: 'redo' })
        expect(texts).toEqual(last)
      }),
      { numRuns: 100 },
    )
  })

  it('forgets what was undone when something else is done instead', () => {
    const one = editOf(first, { file: 'rates.csv', text: 'id,likely\n' }, 'one')
    const two = editOf(first, { file: 'household.csv', text: 'x' }, 'two')
    const done = stepped(NO_HISTORY, { kind: 'edit', edit: one })
    const undone = done && stepped(done.history, { kind: 'undo' })
    const other = undone && stepped(undone.history, { kind: 'edit', edit: two })
    expect(other?.history).toEqual({ edits: [two], done: 1 })
    expect(other && stepped(other.history, { kind: 'redo' })).toBeUndefined()
    expect(stepped(NO_HISTORY, { kind: 'undo' })).toBeUndefined()
  })

  it('refuses to make a file that is there or to drop one that holds something', () => {
    expect(() => changed(first, [{ file: 'household.csv', patches: [], life: 'made' }])).toThrow(
      'household.csv is there already',
    )
    expect(() => changed(first, [{ file: 'household.csv', patches: [], life: 'dropped' }])).toThrow(
      'household.csv is not empty',
    )
    expect(() => changed(first, [{ file: 'rates.csv', patches: [] }])).toThrow('rates.csv is not there')
    const made: FileChange[] = [{ file: 'rates.csv', patches: replacedText('', 'id\n'), life: 'made' }]
    expect(changed(changed(first, made), undoing(made))).toEqual(first)
  })
})
