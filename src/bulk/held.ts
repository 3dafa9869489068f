import type { Decimal } from 'decimal.js'
import { Exact } from '../quantity/exact.js'
import type { Program, ProgramNode } from './program.js'
import { ExactReading } from './settle.js'

/**
 * The same program with all inputs but a few held at one value each: what then no longer varies is folded to its exact
 * value. Whoever asks one question of each input of a plan in turn pays for the whole plan once.
 *
 * @param values the value at which each input is held while it is not free
 * @returns the program of the free inputs, by their ids; those that the program does not have are left out
 */
export function held(
  program: Program,
  values: ReadonlyMap<string, Decimal.Value>,
): (free: Iterable<string>) => Program {
  const column = program.inputs.map((id) => {
    const value = values.get(id)
    if (value === undefined) throw new Error(`no value at which the input "${id}" is held`)
    return new Exact(value)
  })
  const texts = new ExactReading(program)
    .all((at) => column[at] ?? new Exact(Number.NaN))
    .map((value) => value.toString())
  return (ids) => {
    const free = new Set(ids)
    const inputs = program.inputs.filter((id) => free.has(id))
    const columnOf = new Map(inputs.map((id, at) => [id, at]))
    const nodes: ProgramNode[] = []
    const placeOf = new Map<number, number>()
    const put = (node: ProgramNode, of: number): void => {
      nodes.push(node)
      placeOf.set(of, nodes.length - 1)
    }
    const place = (of: number): number => {
      if (!placeOf.has(of)) put({ kind: 'constant', text: texts[of] as string, args: [] }, of)
      return placeOf.get(of) as number
    }
    const varies = new Uint8Array(program.nodes.length)
    program.nodes.forEach((node, of) => {
      if (node.kind === 'input') {
        const at = columnOf.get(program.inputs[node.column] as string)
        if (at === undefined) return
        varies[of] = 1
        put({ ...node, column: at }, of)
      } else if (node.args.some((arg) => varies[arg] === 1)) {
        varies[of] = 1
        put({ ...node, args: node.args.map(place) }, of)
      }
    })
    return { inputs, nodes, outputs: program.outputs.map(({ id, node }) => ({ id, node: place(node) })) }
  }
}
