import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { keepPackedRooms, readPackedRooms } from '../../src/load/packed-rooms-file.js'

it('keeps the latest 200 answers, whatever was asked before', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'quaybook-rooms-'))
  try {
    const key = (i: number): string => i.toString(16).padStart(64, '0')
    // Falling keys, so that an order by key would keep the wrong ones.
    const found = new Map(
      Array.from({ length: 250 }, (_, i) => [key(1000 - i), { complete: i % 2 === 0, aboardShare: i / 250 }]),
    )
    await keepPackedRooms(folder, found)
    const read = await readPackedRooms(folder)
    expect([...read.keys()]).toEqual([...found.keys()].slice(50))
    // A new answer takes the place of the oldest.
    read.set(key(5000), { complete: true, aboardShare: 1 })
    await keepPackedRooms(folder, read)
    const again = await readPackedRooms(folder)
    expect(again.size).toBe(200)
    expect(again.has(key(5000))).toBe(true)
    expect(again.has(key(950))).toBe(false)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
})
