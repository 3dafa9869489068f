import type { NumberInput } from '../quantity/arithmetic.js'
import type { Recorded } from '../quantity/recorded.js'
import type { Program, ProgramNode } from './program.js'

/** A part of a plan that no varied input reaches: its exact value is all that is left of it. */
type Reading = { readonly at: number } | 'constant'

/**
 * Reduces recorded results to a program over the inputs that will vary: what does not depend on them is folded
 * to its exact value, what occurs twice is kept once.
 *
 * @param outputs recorded results by the name they are to have in the answer
 * @param varied ids of the inputs that scenarios will change; one that no output depends on is allowed
 * @param columnOf the varied id that fills an input; its own unless a scenario states a value of its own, which
 *   then stays as it is (undefined) or gets a column of its own
 * @returns plain data; the cost is that of one walk over the recorded plan
 */
export function compile(
  outputs: ReadonlyMap<string, Recorded>,
  varied: Iterable<string>,
  columnOf: (row: NumberInput) => string | undefined = (row) => row.id,
): Program {
  const inputs = [...new Set(varied)]
  const columns = new Map(inputs.map((id, column) => [id, column]))
  const nodes: ProgramNode[] = []
  const known = new Map<string, number>()
  const readings = new Map<Recorded, Reading>()

  const intern = (key: string, node: ProgramNode): number => {
    const at = known.get(key)
    if (at !== undefined) return at
    nodes.push(node)
    known.set(key, nodes.length - 1)
    return nodes.length - 1
  }
  const constant = (value: Recorded): number => {
    const text = value.value.toString()
    return intern(`constant ${text}`, { kind: 'constant', text, args: [] })
  }
  const place = (part: Recorded): number => {
    const reading = readings.get(part)
    return reading === undefined || reading === 'constant' ? constant(part) : reading.at
  }
  const read = (part: Recorded): Reading => {
    const { operation } = part
    if (operation.kind === 'input') {
      const column = columns.get(columnOf(operation.row) ?? '')
      if (column === undefined) return 'constant'
      return { at: intern(`input ${column}`, { kind: 'input', column, args: [] }) }
    }
    if (part.args.every((arg) => readings.get(arg) === 'constant')) return 'constant'
    const args = part.args.map(place)
    if (operation.kind === 'cell') return { at: args[0] ?? constant(part) }
    if (operation.kind === 'constant') return 'constant'
    if (operation.kind === 'round') {
      const { decimals, rule } = operation
      const key = `round ${decimals} ${rule} ${args.join(' ')}`
      return { at: intern(key, { kind: 'round', decimals, rule, args }) }
    }
    const { kind } = operation
    const ordered = kind === 'plus' || kind === 'times' ? args.toSorted((a, b) => a - b) : args
    return { at: intern(`${kind} ${ordered.join(' ')}`, { kind, args: ordered }) }
  }

  // A stack of our own: a chain of additions may be longer than the call stack is deep.
  const open: { part: Recorded; next: number }[] = []
  for (const output of outputs.values()) {
    open.push({ part: output, next: 0 })
    for (let top = open.at(-1); top !== undefined; top = open.at(-1)) {
      const arg = readings.has(top.part) ? undefined : top.part.args[top.next]
      if (arg !== undefined) {
        top.next += 1
        if (!readings.has(arg)) open.push({ part: arg, next: 0 })
      } else {
        if (!readings.has(top.part)) readings.set(top.part, read(top.part))
        open.pop()
      }
    }
  }
  return { inputs, nodes, outputs: [...outputs].map(([id, part]) => ({ id, node: place(part) })) }
}

/** The same program without the varied inputs that none of its outputs depends on. */
export function withoutIdleInputs(program: Program): Program {
  const used = new Set(program.nodes.flatMap((node) => (node.kind === 'input' ? [node.column] : [])))
  const kept = program.inputs.flatMap((_, column) => (used.has(column) ? [column] : []))
  const placeOf = new Map(kept.map((column, place) => [column, place]))
  return {
    ...program,
    inputs: kept.map((column) => program.inputs[column] as string),
    nodes: program.nodes.map((node) =>
      node.kind === 'input' ? { ...node, column: placeOf.get(node.column) as number } : node,
    ),
  }
}

/** Ids of the varied inputs that an output of the program depends on. */
export function dependsOn(program: Program, output: string): ReadonlySet<string> {
  const start = program.outputs.find(({ id }) => id === output)
  const seen = new Set<number>()
  const found = new Set<string>()
  const open = start === undefined ? [] : [start.node]
  for (let at = open.pop(); at !== undefined; at = open.pop()) {
    const node = seen.has(at) ? undefined : program.nodes[at]
    seen.add(at)
    if (node === undefined) continue
    const id = node.kind === 'input' ? program.inputs[node.column] : undefined
    if (id !== undefined) found.add(id)
    open.push(...node.args)
  }
  return found
}
