import highsModule from 'highs'

// Its types describe the CommonJS build, where the loader stands under `default`; the ES module is the loader itself.
const loadHighs = highsModule as unknown as typeof highsModule.default

/** A thing that may be left: the room it gives back, m³, and what leaving it loses in money (less than 0: it gains). */
export interface Leavable {
  readonly id: string
  readonly m3: number
  readonly loss: number
}

/** Chooses what to leave; made once, since the solver takes a moment to start. */
export type LeastLoss = (things: readonly Leavable[], needM3: number) => readonly string[] | undefined

/**
 * The set that gives back at least so much room for the least loss: a covering knapsack, solved to proven optimality by
 * the HiGHS integer solver (MIT licence, WebAssembly). What gains by being left is in every answer.
 *
 * @returns ids in the order given; undefined where all of it together is not enough
 */
export async function leastLossSolver(): Promise<LeastLoss> {
  const highs = await loadHighs()
  return (things, needM3) => {
    if (things.reduce((sum, { m3 }) => sum + Math.max(0, m3), 0) < needM3) return undefined
    if (things.length === 0) return []
    const terms = (of: (thing: Leavable) => number) =>
      things
        .map((thing, at) => `${of(thing) < 0 ? '-' : '+'} ${Math.abs(of(thing)).toFixed(6)} x${at}`)
        .join(' ')
    const model = [
      'Minimize',
      ` loss: ${terms(({ loss }) => loss)}`,
      'Subject To',
      ` room: ${terms(({ m3 }) => m3)} >= ${needM3.toFixed(6)}`,
      'Binary',
      ` ${things.map((_, at) => `x${at}`).join(' ')}`,
      'End',
      '',
    ].join('\n')
    const solved = highs.solve(model, { mip_rel_gap: 0, mip_abs_gap: 0, output_flag: false })
    if (solved.Status !== 'Optimal') return undefined
    return things.flatMap(({ id }, at) => {
      const column = solved.Columns[`x${at}`]
      return column && 'Primal' in column && Number(column.Primal) > 0.5 ? [id] : []
    })
  }
}
