import { appendFile, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { Desk } from '../../src/open/desk.js'
import type { Edit } from '../../src/open/edits.js'
import { replacedText } from '../../src/tables/csv-edit.js'

const NOW = '2026-11-25T10:00:00Z'
const INVENTORY = '\uFEFF# decimal: comma\r\nline;item;value;mine\r\nK-01;Sofa;2,50;ours\r\n'
let folder: string

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'quaybook-desk-'))
  await writeFile(join(folder, 'inventory.csv'), INVENTORY)
  await writeFile(join(folder, 'household.csv'), 'fact,value,note\nname,Us,\n')
})
afterEach(() => rm(folder, { recursive: true, force: true }))

let count = 0
function editTo(desk: Desk, file: string, text: string): Edit {
  count += 1
  const before = desk.texts[file]
  const life = before === undefined ? { life: 'made' as const } : {}
  return {
    id: `e${count}`,
    name: `change ${count}`,
    changes: [{ file, patches: replacedText(before ?? '', text), ...life }],
  }
}
const take = (desk: Desk, file: string, text: string) =>
  desk.take({ kind: 'edit', edit: editTo(desk, file, text) })
const onDisk = (name: string): Promise<string> => readFile(join(folder, name), 'utf8')

describe('an open folder', () => {
  it('keeps edits in the journal and the files as they are until they are saved', async () => {
    const desk = await Desk.open(folder, NOW)
    const changed = INVENTORY.replace('2,50', '3,00')
    await take(desk, 'inventory.csv', changed)
    await take(desk, 'rates.csv', 'id,likely\n')
    expect(desk.unsaved).toEqual(['inventory.csv', 'rates.csv'])
    expect(await onDisk('inventory.csv')).toBe(INVENTORY)
    expect(await desk.save()).toEqual(['inventory.csv', 'rates.csv'])
    expect(await onDisk('inventory.csv')).toBe(changed)
    expect(await onDisk('rates.csv')).toBe('id,likely\n')
    expect(desk.unsaved).toEqual([])
    await desk.take({ kind: 'undo' })
    await desk.take({ kind: 'undo' })
    await desk.save()
    expect(await onDisk('inventory.csv')).toBe(INVENTORY)
    expect((await readdir(folder)).sort()).toEqual(['.quaybook', 'household.csv', 'inventory.csv'])
    await desk.close()
    expect((await readdir(folder)).sort()).toEqual(['household.csv', 'inventory.csv'])
  })

  it('comes back with everything after an end without saving, also with a last line cut off', async () => {
    const desk = await Desk.open(folder, NOW)
    await take(desk, 'household.csv', 'fact,value,note\nname,Them,\n')
    await take(desk, 'inventory.csv', `${INVENTORY}K-02;Lamp;1,00;\r\n`)
    await desk.take({ kind: 'undo' })
    const { texts, history } = desk
    await desk.close()
    await appendFile(join(folder, '.quaybook', 'journal.jsonl'), '{"kind":"edit","edit":{"id":"x","na')
    const again = await Desk.open(folder, NOW)
    expect(again.texts).toEqual(texts)
    expect(again.history).toEqual(history)
    expect(again.recovered).toBe(1)
    await again.take({ kind: 'redo' })
    await again.close()
    const third = await Desk.open(folder, NOW)
    expect(third.texts['inventory.csv']).toContain('K-02')
    await third.close()
  })

  it('has one writer: a second one is told where the first is; a dead one is no hindrance', async () => {
    const desk = await Desk.open(folder, NOW)
    await expect(Desk.open(folder, NOW)).rejects.toThrow(
      `is open already, in process ${process.pid} since ${NOW}`,
    )
    await desk.close()
    await Desk.open(folder, NOW).then((one) => one.close())
    await take(await Desk.open(folder, NOW), 'household.csv', 'x')
    await writeFile(join(folder, '.quaybook', 'lock'), JSON.stringify({ pid: 2 ** 22 + 7, since: NOW }))
    const after = await Desk.open(folder, NOW)
    expect(after.texts['household.csv']).toBe('x')
    await after.close()
  })

  it('never writes over what somebody else wrote, shows both, and takes either', async () => {
    const desk = await Desk.open(folder, NOW)
    await take(desk, 'household.csv', 'mine\n')
    await writeFile(join(folder, 'household.csv'), 'theirs\n')
    expect(await desk.save()).toEqual([])
    expect(desk.conflicts).toEqual([{ file: 'household.csv', mine: 'mine\n', disk: 'theirs\n' }])
    expect(await onDisk('household.csv')).toBe('theirs\n')
    await desk.settle('household.csv', 'disk', 'd1')
    expect(desk.texts['household.csv']).toBe('theirs\n')
    expect(desk.conflicts).toEqual([])
    expect(desk.unsaved).toEqual([])
    await desk.take({ kind: 'undo' })
    expect(desk.texts['household.csv']).toBe('mine\n')
    await writeFile(join(folder, 'household.csv'), 'theirs again\n')
    expect(await desk.look()).toBe(true)
    expect(await desk.look()).toBe(false)
    await desk.settle('household.csv', 'mine', 'd2')
    expect(await desk.save()).toEqual(['household.csv'])
    expect(await onDisk('household.csv')).toBe('mine\n')
    await desk.close()
  })

  it('sees at the next start what changed on the disk meanwhile', async () => {
    const desk = await Desk.open(folder, NOW)
    await take(desk, 'household.csv', 'mine\n')
    await desk.close()
    await writeFile(join(folder, 'household.csv'), 'theirs\n')
    const again = await Desk.open(folder, NOW)
    expect(again.conflicts).toEqual([{ file: 'household.csv', mine: 'mine\n', disk: 'theirs\n' }])
    await again.close()
  })

  it('drops a step made for an older revision, and refuses one that does not fit', async () => {
    const desk = await Desk.open(folder, NOW)
    const edit = editTo(desk, 'household.csv', 'one')
    await take(desk, 'household.csv', 'two')
    expect(await desk.take({ kind: 'edit', edit }, 0)).toBeUndefined()
    expect(() => desk.take({ kind: 'edit', edit })).toThrow('the change replaces')
    expect(desk.texts['household.csv']).toBe('two')
    await desk.close()
  })

  it('opens a folder that is not there, and one with a file that is no text', async () => {
    const fresh = await Desk.open(join(folder, 'new', 'home'), NOW)
    expect(fresh.texts).toEqual({})
    await fresh.close()
    await writeFile(join(folder, 'people.csv'), Buffer.from([0x70, 0xff, 0xfe, 0x0a]))
    const desk = await Desk.open(folder, NOW)
    expect(desk.unreadable).toMatchObject([{ file: 'people.csv', found: 'bytes that are not UTF-8' }])
    expect(Object.keys(desk.texts)).toEqual(['household.csv', 'inventory.csv'])
    await desk.close()
  })
})
