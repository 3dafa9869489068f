// What a worker thread runs: stretches of a study and questions to the packer, plain data in and out.
import { Piscina } from 'piscina'
import { type PackedRoom, type PackedRooms, packedRoom } from '../load/packed-plans.js'
import { Refusal } from '../plan/refusal.js'
import type { CsvFile } from '../tables/csv.js'
import type { Problem } from '../tables/problem.js'
import { type Case, type HouseholdTexts, householdsWith, type ReferenceFiles } from './cases.js'
import { type Ground, groundOf, pieceWriter, type Stretch, statedChanges } from './run.js'
import { readStudy } from './study-file.js'

/** Everything that a study is worked out from, as text, and which of its inputs are words. */
export interface StudyTexts {
  readonly study: CsvFile
  readonly households: readonly HouseholdTexts[]
  readonly reference: ReferenceFiles
  readonly words: readonly string[]
}

/** Work for one thread: to pack one container of a scenario, or to work rows out. */
export type Task =
  | { readonly kind: 'pack'; readonly of: Case; readonly scenario: string; readonly container: string }
  | {
      readonly kind: 'stretch'
      readonly stretch: Stretch
      /** Only rows of the table from the one to before the other. */
      readonly from: number
      readonly until: number
      /** What is known of the household's packed containers; left out, room is taken by volume alone. */
      readonly rooms?: PackedRooms
    }

/** Rows as CSV text, and what packing found that was not known; or what keeps them from being worked out. */
export type Answer =
  | { readonly ok: true; readonly text: string; readonly rooms: PackedRooms }
  | { readonly ok: false; readonly problems: readonly Problem[] }

/** Reads the texts of a study, which somebody has read before and found in order. */
export function groundFrom({ study, households, reference, words }: StudyTexts): Ground {
  const read = readStudy(study)
  const homes = householdsWith(households, reference)
  if (!read.ok || !homes.ok) throw new Error('a study is handed to a thread before it is read')
  return groundOf(read.value, homes.value, words)
}

/** Does the work of one task on one ground. */
export function worksOn(ground: () => Ground): (task: Task) => PackedRoom | Answer {
  let here: Ground | undefined
  let rooms: PackedRooms | undefined
  let write: { readonly packing: boolean; readonly of: ReturnType<typeof pieceWriter> } | undefined
  return (task) => {
    here ??= ground()
    if (task.kind === 'pack') {
      const move = here.open(task.of)
      return packedRoom(move, task.scenario, statedChanges(move, task.scenario), task.container)
    }
    const packing = task.rooms !== undefined
    if (write?.packing !== packing)
      write = { packing, of: pieceWriter(here, packing ? { rooms: () => rooms ?? new Map() } : {}) }
    rooms = new Map(task.rooms)
    const { of } = write
    try {
      const text = task.stretch.map((piece) => of(piece, task.from, task.until)).join('')
      const found = [...rooms].filter(([key]) => !task.rooms?.has(key))
      return { ok: true, text, rooms: new Map(found) }
    } catch (error) {
      if (error instanceof Refusal) return { ok: false, problems: error.problems }
      throw error
    }
  }
}

export default worksOn(() => groundFrom(Piscina.workerData as StudyTexts))
