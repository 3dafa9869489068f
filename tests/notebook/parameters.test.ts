import fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import { tagsOf, textOf } from '../../src/notebook/format.js'
import { type JsonValue, type Parameters, withParameters } from '../../src/notebook/parameters.js'
import { sample } from './sample.js'

const notebook = sample([
  { type: 'markdown', source: '# Title' },
  {
    source: [
      "const household = 'demo' // folder",
      'let wage: number = 31',
      'const changes: Record<string, string> = {}',
      '  const f: (x: number) => number = (x) => x',
      'let later: string | null',
    ].join('\n'),
    tags: ['parameters'],
  },
  'household',
])
const injected = (values: Parameters): string =>
  textOf(withParameters(notebook, values, 'a.ipynb').cells[2]?.source ?? '')

describe('injected parameters', () => {
  it('stand in a cell of their own after the parameters cell, with the types declared there', () => {
    const cells = withParameters(notebook, { wage: 12, changes: { 'cost.a': '1' } }, 'a.ipynb').cells
    expect(cells.map((cell) => cell.id)).toEqual(['c1', 'c2', 'injected-parameters', 'c3'])
    expect(cells.map(tagsOf)).toEqual([[], ['parameters'], ['injected-parameters'], []])
    expect(textOf(cells[2]?.source ?? '')).toBe(
      'let wage: number = 12\nlet changes: Record<string, string> = { "cost.a": "1" }\nundefined;',
    )
  })

  it('replace those of an earlier run, and none take the cell away', () => {
    const once = withParameters(notebook, { wage: 12 }, 'a.ipynb')
    expect(withParameters(once, { wage: 13 }, 'a.ipynb').cells).toHaveLength(4)
    expect(withParameters(once, {}, 'a.ipynb')).toEqual(notebook)
  })

  it('take an id that no cell has', () => {
    const taken = {
      ...notebook,
      cells: notebook.cells.map((cell, at) => (at === 0 ? { ...cell, id: 'injected-parameters' } : cell)),
    }
    expect(withParameters(taken, { wage: 1 }, 'a.ipynb').cells[2]?.id).toBe('injected-parameters-2')
  })

  test.each<[string, Parameters, RegExp]>([
    ['a misspelt name', { houshold: 'x' }, /a\.ipynb: found the parameter "houshold".*nearest: household, /],
    ['a name that is no declaration', { x: 1 }, /found the parameter "x"/],
    ['a number that is none', { wage: Number.NaN }, /parameter "wage": found NaN, expected a JSON value/],
  ])('refuse %s', (_, values, message) => {
    expect(() => withParameters(notebook, values, 'a.ipynb')).toThrow(message)
  })

  it('name all wrong names at once', () => {
    expect(() => withParameters(notebook, { wag: 1, chances: {} }, 'a.ipynb')).toThrow(
      /"wag"[\s\S]*"chances"/,
    )
  })

  it('need a parameters cell', () => {
    expect(() => withParameters(sample(['1']), { wage: 1 }, 'a.ipynb')).toThrow(
      /no code cell tagged "parameters"/,
    )
  })

  it('know every declaration of the cell', () => {
    expect(injected({ household: 'x', later: null })).toBe(
      'let household = "x"\nlet later: string | null = null\nundefined;',
    )
    expect(() => withParameters(notebook, { f: 1 }, 'a.ipynb')).not.toThrow()
  })

  it('are literals that evaluate to the value given', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        const source = injected({ household: value as JsonValue })
        const body = source.replace('undefined;', 'return household')
        // The same text as a plain script: what stands in the cell, run by the JavaScript engine itself.
        expect(JSON.stringify(new Function(body)())).toBe(JSON.stringify(value))
      }),
      { seed: 1 },
    )
    const proto = JSON.parse('{"__proto__":{"a":1}}')
    expect(
      JSON.stringify(
        new Function(injected({ household: proto }).replace('undefined;', 'return household'))(),
      ),
    ).toBe('{"__proto__":{"a":1}}')
  })
})
