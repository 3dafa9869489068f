import { parseArgs } from 'node:util'
import { type LoadPlan, type Piece, pack, stowedM3, validate } from '../../src/stowage/packing/index.js'
import { asHold, asPieces, problem } from './packing/bischoff-ratcliff.js'
import { carAtFront, container, randomPieces } from './packing/households.js'
import { rivals } from './packing/rivals.js'

// node tests/bench/run.mjs packing [--sets 1-7] [--first 1] [--problems 10] [--seconds 10] [--support 1] [--growth] [--no-rivals]
// Share of the container's volume used, with full support or (--support 0) without any, on the random problems of Bischoff and Ratcliff (1995).

const { values } = parseArgs({
  options: {
    sets: { type: 'string', default: '1-7' },
    first: { type: 'string', default: '1' },
    problems: { type: 'string', default: '10' },
    seconds: { type: 'string', default: '10' },
    support: { type: 'string', default: '1' },
    growth: { type: 'boolean', default: false },
    'no-rivals': { type: 'boolean', default: false },
  },
})

/**
 * Mean share per set over 100 problems, full support, per cent: the tree search of T. Fanslau and A. Bortfeldt, "A tree
 * search algorithm for solving the container loading problem", INFORMS Journal on Computing 22 (2010). The paper and its
 * full-support variant were looked up; these figures are from memory.
 */
const published: readonly number[] = [
  94.5, 94.7, 94.7, 94.4, 94.1, 93.9, 93.2, 92.3, 91.5, 90.9, 90.1, 89.5, 89.0, 88.3, 87.6,
]

/** Milliseconds of this process's own computing, so that other work on the machine does not count. */
function computingMs(): number {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1000
}

/** The same, asked of the system at every tenth call only: the search asks thousands of times a second. */
function searchClock(): () => number {
  let calls = 0
  let last = computingMs()
  return () => {
    if (++calls % 10 === 0) last = computingMs()
    return last
  }
}

function setNumbers(text: string): number[] {
  return text.split(',').flatMap((part) => {
    const [from = 1, to = from] = part.split('-').map(Number)
    return Array.from({ length: to - from + 1 }, (_, i) => from + i)
  })
}

function mean(numbers: readonly number[]): number {
  return numbers.reduce((sum, n) => sum + n, 0) / Math.max(1, numbers.length)
}

function percent(share: number): string {
  return `${(share * 100).toFixed(2)} %`
}

function compareSets(): void {
  const first = Number(values.first)
  const count = Number(values.problems)
  const numbers = Array.from({ length: count }, (_, i) => first + i)
  const seconds = Number(values.seconds)
  const rules = { supportShare: Number(values.support) }
  const full = rules.supportShare === 1
  const ours: { readonly set: number; readonly share: number }[] = []
  const theirs = rivals.map((): number[] => [])
  let unsound = 0
  console.log(
    `Problems ${numbers[0]} to ${numbers.at(-1)} of each set, ${full ? 'full support' : `support share ${rules.supportShare}`}, ${seconds} s of computing a problem, one core.`,
  )
  for (const set of setNumbers(values.sets)) {
    const shares: number[] = []
    const times: number[] = []
    for (const number of numbers) {
      const p = problem(set, number)
      const hold = asHold(p)
      const pieces = asPieces(p)
      const from = computingMs()
      const plan = pack(hold, pieces, { rules, now: searchClock(), seconds, from: 'corners' })
      times.push((computingMs() - from) / 1000)
      const found = validate(hold, pieces, plan, rules)
      if (found.length > 0) {
        unsound++
        console.log(`  set ${set} problem ${number}: ${found.length} rules broken, first: ${found[0]?.text}`)
      }
      shares.push(plan.volumeShare)
    }
    ours.push({ set, share: mean(shares) })
    const known = published[set - 1]
    console.log(
      `set ${set}: ${percent(mean(shares))} (least ${percent(Math.min(...shares))}), ${mean(times).toFixed(1)} s a problem${full ? `; published, tree search with blocks 2010: ${known?.toFixed(1)} % (from memory, 100 problems)` : ''}`,
    )
    if (values['no-rivals']) continue
    rivals.forEach((rival, r) => {
      const results = numbers.map((number) => rival.run(problem(set, number)))
      theirs[r]?.push(mean(results.map((x) => x.soundShare)))
      const claimed = percent(mean(results.map((x) => x.claimedShare)))
      const sound = percent(mean(results.map((x) => x.soundShare)))
      const hanging = percent(mean(results.map((x) => x.hangingShare)))
      const ms = mean(results.map((x) => x.ms)).toFixed(0)
      console.log(
        `    ${rival.name}: claims ${claimed}, ${sound} once unsound boxes are out, of which ${hanging} hang in part; ${ms} ms`,
      )
    })
  }
  for (const [name, from, to] of [
    ['weakly heterogeneous, 1 to 7', 1, 7],
    ['strongly heterogeneous, 8 to 15', 8, 15],
  ] as const) {
    const done = ours.filter(({ set }) => set >= from && set <= to)
    if (done.length === 0) continue
    const known = mean(done.map(({ set }) => published[set - 1] ?? 0))
    console.log(
      `${done.length} sets, ${name}: ${percent(mean(done.map(({ share }) => share)))}${full ? `; published ${known.toFixed(1)} % (from memory)` : ''}`,
    )
  }
  console.log(`unsound plans: ${unsound}`)
  if (!values['no-rivals']) {
    rivals.forEach((rival, r) => {
      console.log(`    ${rival.name}: ${percent(mean(theirs[r] ?? []))} once unsound boxes are out`)
    })
  }
}

// Once every cubic metre is worth the same, so that the share of the hold says how good the plan is; once some things are
// dear and small, and the worth loaded is the goal.
function growth(): void {
  const seconds = Number(values.seconds)
  console.log(`Random households, a car with a deck, high-cube container, at most ${seconds} s of computing.`)
  for (const valued of [false, true]) {
    console.log(
      valued ? 'Some things are worth more than their volume:' : 'Every cubic metre is worth the same:',
    )
    for (const n of [100, 400, 1000, 2000, 5000]) growthOf(n, valued, seconds)
  }
}

function growthOf(n: number, valued: boolean, seconds: number): void {
  const empty = container('45G1')
  const hold = { ...empty, fixed: [carAtFront(empty, true)] }
  const drawn = randomPieces(n, n)
  const pieces: readonly Piece[] = valued ? drawn : drawn.map(({ value: _, ...piece }) => piece)
  const worth = (ids: ReadonlySet<string>): number =>
    pieces.reduce((sum, p) => sum + (ids.has(p.id) ? (p.value ?? stowedM3(p)) : 0), 0)
  const worthOf = (plan: LoadPlan): number => worth(new Set(plan.placements.map((p) => p.pieceId)))
  const from = computingMs()
  let firstMs = 0
  let firstPlan: LoadPlan | undefined
  const plan = pack(hold, pieces, {
    now: searchClock(),
    seconds,
    onBetter: (progress) => {
      if (firstPlan !== undefined) return
      firstPlan = progress.plan()
      firstMs = computingMs() - from
    },
  })
  const ms = computingMs() - from
  const checkFrom = computingMs()
  const found = validate(hold, pieces, plan)
  const checkMs = computingMs() - checkFrom
  const first = firstPlan ?? plan
  const all = worth(new Set(pieces.map((p) => p.id)))
  console.log(
    `${n} pieces: first plan ${firstMs.toFixed(0)} ms, ${percent(first.volumeShare)} of the hold, worth ${worthOf(first).toFixed(1)}; in all ${ms.toFixed(0)} ms, placed ${plan.placements.length}, ${percent(plan.volumeShare)}, worth ${worthOf(plan).toFixed(1)} of ${all.toFixed(1)}; check ${checkMs.toFixed(0)} ms, rules broken: ${found.map((v) => v.rule).join(', ') || 'none'}`,
  )
}

if (values.growth) growth()
else compareSets()
