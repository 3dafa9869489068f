import { run } from '@quri/squiggle-lang'
import type { Distribution } from '../../../src/analysis/index.js'
import type { Program } from '../../../src/bulk/index.js'

/** A program as text of a general language for probabilistic estimation: sample sets, an operation a line. */
function text(program: Program, distributions: ReadonlyMap<string, Distribution>): string {
  const constant = (k: number): string | undefined => {
    const node = program.nodes[k]
    return node?.kind === 'constant' ? node.text : undefined
  }
  const name = (k: number): string => {
    const value = constant(k)
    return value === undefined ? `v${k}` : value.startsWith('-') ? `(${value})` : value
  }
  // Functions of several values take sample sets only; a constant is written into the function.
  const mapped = (args: readonly number[], body: (xs: readonly string[]) => string): string => {
    const sets = args.filter((k, i) => constant(k) === undefined && args.indexOf(k) === i)
    const inside = args.map((k) => (constant(k) === undefined ? `x[${sets.indexOf(k)}]` : name(k)))
    if (sets.length === 1) {
      const alone = args.map((k) => (constant(k) === undefined ? 'x' : name(k)))
      return `SampleSet.map(${name(sets[0] as number)}, {|x| ${body(alone)}})`
    }
    return `SampleSet.mapN([${sets.map(name).join(', ')}], {|x| ${body(inside)}})`
  }
  const lines = program.nodes.map((node, k) => {
    const [a = 0, b = 0] = node.args
    switch (node.kind) {
      case 'constant':
        return ''
      case 'input':
        return `v${k} = SampleSet.fromDist(${distribution(distributions.get(program.inputs[node.column] ?? ''))})`
      case 'plus':
        return `v${k} = ${name(a)} + ${name(b)}`
      case 'minus':
        return `v${k} = ${name(a)} - ${name(b)}`
      case 'times':
        return `v${k} = ${name(a)} * ${name(b)}`
      case 'div':
        return `v${k} = ${name(a)} / ${name(b)}`
      case 'sum':
        return `v${k} = ${node.args.map(name).join(' + ')}`
      case 'min':
      case 'max':
        return `v${k} = ${mapped(node.args, (xs) => `${node.kind}([${xs.join(', ')}])`)}`
      case 'ceil':
        return `v${k} = ${mapped(node.args, ([x]) => `ceil(${x})`)}`
      case 'round':
        return `v${k} = ${mapped(node.args, ([x]) => `round(${x} * ${10 ** node.decimals}) / ${10 ** node.decimals}`)}`
      case 'choose':
        return `v${k} = ${mapped(node.args, ([x, y, t, e]) => `${x} >= ${y} ? ${t} : ${e}`)}`
    }
    return ''
  })
  const last = program.outputs.map(({ node }) => `mean(${name(node)}), quantile(${name(node)}, 0.9)`)
  return `${lines.filter((line) => line !== '').join('\n')}\n[${last.join(', ')}]`
}

function distribution(d: Distribution | undefined): string {
  if (d?.kind === 'pert') {
    const mode = (d.likely - d.low) / (d.high - d.low)
    return `${d.low} + ${d.high - d.low} * SampleSet.fromDist(Sym.beta(${1 + 4 * mode}, ${5 - 4 * mode}))`
  }
  if (d?.kind === 'lognormal') {
    // Days, in whole ones as the simulation has them.
    const days = `Sym.lognormal({p10: ${(d.median * d.median) / d.p90}, p90: ${d.p90}})`
    return `SampleSet.map(SampleSet.fromDist(${days}), {|x| ceil(x)})`
  }
  return 'Sym.uniform(0, 1)'
}

/** Runs a program in the language; returns mean and P90 of each output. */
export async function estimate(
  program: Program,
  distributions: ReadonlyMap<string, Distribution>,
  draws: number,
): Promise<readonly number[]> {
  const code = text(program, distributions)
  const done = await run(code, { environment: { sampleCount: draws, xyPointLength: 1000, seed: 'bench' } })
  if (!done.result.ok) throw new Error(String(done.result.value))
  return String(done.result.value.result).replace(/[[\]]/g, '').split(',').map(Number)
}
