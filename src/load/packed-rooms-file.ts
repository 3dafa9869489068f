// The disk of packing: what was found stands in one file in the household's folder, by the content of the question.
import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { z } from 'zod'
import { replaceFile } from '../paper/replace-file.js'
import type { PackedRooms } from './packed-plans.js'

/** Hidden, because nobody edits it: it may be deleted at any time and is then found again. */
const FILE = '.packed.json'

/** What was found, as it stands in the file and as the page of an open household hands it over. */
export const packedRoomsData = z.record(
  z.string().regex(/^[0-9a-f]{64}$/),
  z.object({
    complete: z.boolean(), // A little above 1 where something soft was squeezed or folded another way.
    aboardShare: z.number().nonnegative(),
    out: z.number().int().nonnegative().optional(),
  }),
)

/** What is known of packed containers of a household; nothing where the file is not there or not whole. */
export async function readPackedRooms(folder: string): Promise<PackedRooms> {
  try {
    const read = packedRoomsData.safeParse(JSON.parse(await readFile(join(folder, FILE), 'utf8')))
    return new Map(read.success ? Object.entries(read.data) : [])
  } catch {
    return new Map()
  }
}

/** So many answers are kept, the latest: each changed size or mass asks anew, and old ones are soon worth nothing. */
const MOST = 200

/** Keeps what was found, the latest 200 answers. A folder that cannot be written to costs time at the next run and nothing else. */
export async function keepPackedRooms(folder: string, found: PackedRooms): Promise<void> {
  try {
    await replaceFile(
      join(folder, FILE),
      `${JSON.stringify(Object.fromEntries([...found].slice(-MOST)), null, 1)}\n`,
    )
  } catch {
    // Read-only households are planned all the same.
  }
}
