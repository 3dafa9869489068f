import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { stowedM3, validate } from '../../src/stowage/index.js'
import { impossible } from '../../src/stowage/packing/index.js'
import { loadRulesOf, smallestContainer, standsOf } from '../../src/stowage/plan/index.js'
import { holds, reference } from './homes/containers.js'
import { home } from './homes/household.js'

// node tests/bench/run.mjs homes [--from 1] [--count 20] [--work 200000] [--seed 1] [--open] [--record]
// --open leaves out homes whose recorded container is proven the smallest: they are found at the first look.
// Everything in the smallest container, on invented households. For each home the record file holds the smallest
// container for which any run ever found a complete, valid plan; --record writes better ones down, never worse ones.
// The budget is work and not time, so that the share comes out alike on a busy machine: 200,000 blocks moved into place
// are ten seconds of one core at the 20 blocks a millisecond that most homes take.

const { values } = parseArgs({
  options: {
    from: { type: 'string', default: '1' },
    count: { type: 'string', default: '20' },
    work: { type: 'string', default: '200000' },
    seed: { type: 'string', default: '1' },
    open: { type: 'boolean', default: false },
    record: { type: 'boolean', default: false },
  },
})

// run.mjs starts benchmarks from a bundle: paths are those of the folder it is called in.
const recordFile = join(process.cwd(), 'tests/bench/homes/record.csv')

function computingMs(): number {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1000
}

const ref = await reference()
const rows = new Map(ref.stowage.map((row) => [row.id, row.value.toNumber()]))
const figures = (id: string): number | undefined => rows.get(id)
const rules = loadRulesOf(figures)
const all = holds(ref)
const record = new Map(
  readFileSync(recordFile, 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => {
      const [id = '', container = ''] = line.split(',')
      return [id, container]
    }),
)
const rank = (container: string): number => {
  const at = all.findIndex((h) => h.id === container)
  return at < 0 ? all.length : at
}

const from = Number(values.from)
const count = Number(values.count)
const work = Number(values.work)
let equal = 0
let run = 0
let proven = 0
let invalid = 0
let allUsed = 0
let allTook = 0
for (let n = from; n < from + count; n++) {
  const { id, pieces, vehicles } = home(n, ref, figures)
  const clearance = { sideMm: 50, endMm: 100, topMm: 50 }
  const candidates = all.flatMap((hold) => {
    const stood = standsOf({ hold, vehicles, clearance, figures })
    return stood.ok ? [{ hold, stands: stood.stands }] : []
  })
  const known = record.get(id) ?? 'none'
  const smaller = candidates.filter(({ hold }) => rank(hold.id) < rank(known))
  const isOpen = smaller.some(({ hold, stands }) =>
    stands.some(({ fixed }) => impossible({ ...hold, fixed }, pieces) === undefined),
  )
  if (values.open && !isOpen) continue
  run++
  const start = computingMs()
  const tries = smallestContainer(candidates, pieces, { rules, work, seed: Number(values.seed) })
  const took = (computingMs() - start) / 1000
  const used = tries.reduce((sum, { found }) => sum + (found?.workUsed ?? 0), 0)
  allUsed += used
  allTook += took
  for (const { found } of tries) {
    if (found === undefined) continue
    const broken = validate(found.hold, pieces, found.plan, rules)
    if (broken.length > 0) invalid++
  }
  const best = tries.find((t) => t.found?.plan.leftOut.length === 0)
  const container = best?.candidate.hold.id ?? 'none'
  const isProven = tries.every(
    (t) => t.impossible !== undefined || rank(t.candidate.hold.id) >= rank(container),
  )
  if (isProven) proven++
  if (rank(container) <= rank(known)) equal++
  if (rank(container) < rank(known)) record.set(id, container)
  if (!record.has(id)) record.set(id, container)
  if (values.record) keepRecord()
  const m3 = pieces.reduce((sum, p) => sum + stowedM3(p), 0)
  const below = tries.filter(
    (t) => t.tried && t.found !== undefined && rank(t.candidate.hold.id) < rank(container),
  )
  const note = below.map((t) => `${t.candidate.hold.id} leaves ${t.found?.plan.leftOut.length}`).join(', ')
  console.log(
    `${id}: ${pieces.length} pieces, ${m3.toFixed(1)} m³, ${vehicles.map((v) => v.label + (v.deck ? ' with deck' : '')).join(' and ') || 'no vehicle'}: ${container}${isProven ? ' (proven smallest)' : ''}, record ${record.get(id)}; ${used} blocks, ${took.toFixed(1)} s; ${note}`,
  )
}
console.log(
  `${run} homes, ${work} blocks each (${(allUsed / allTook / 1000).toFixed(1)} a ms): ${equal} equal the record (${((equal / run) * 100).toFixed(1)} %), ${proven} proven smallest, plans that break a rule: ${invalid}`,
)

/** Written after every home, so that a run that is stopped loses nothing. */
function keepRecord(): void {
  const lines = [...record].sort(([a], [b]) => Number(a.slice(5)) - Number(b.slice(5)))
  writeFileSync(recordFile, `home,container\n${lines.map(([id, c]) => `${id},${c}`).join('\n')}\n`)
}
