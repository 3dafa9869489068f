// Values for the cell tagged `parameters`: put into a cell of their own after it, tagged `injected-parameters`.
import { nearest } from '../tables/nearest.js'
import { type Cell, type CodeCell, type Notebook, NotebookError, tagsOf, textOf } from './format.js'

export const PARAMETERS_TAG = 'parameters'
export const INJECTED_TAG = 'injected-parameters'

export type JsonValue =
  | null
  | boolean
  | number
  | string
  | readonly JsonValue[]
  | { readonly [key: string]: JsonValue }

/** Values by parameter name. */
export type Parameters = Readonly<Record<string, JsonValue>>

/** One `const` or `let` of the parameters cell, with its type as written there, if any. */
interface Declaration {
  readonly name: string
  readonly type?: string
}

const DECLARATION =
  /^[ \t]*(?:const|let)[ \t]+([A-Za-z_$][\w$]*)(?:[ \t]*:[ \t]*([^=\n;]+?)[ \t]*(?:=(?!>)|;|\/\/|$))?/gm

function declarations(source: string): Declaration[] {
  return [...source.matchAll(DECLARATION)].map(([, name = '', type]) =>
    type === undefined ? { name } : { name, type },
  )
}

/** A JSON value as a TypeScript expression. Throws if it is none, such as NaN or a function. */
function literal(value: unknown, name: string): string {
  if (value === null || typeof value === 'boolean' || typeof value === 'string') return JSON.stringify(value)
  if (typeof value === 'number' && Number.isFinite(value)) return JSON.stringify(value)
  if (Array.isArray(value)) return `[${value.map((item) => literal(item, name)).join(', ')}]`
  if (typeof value === 'object') {
    const entries = Object.entries(value).map(([key, item]) => {
      // In a literal a plain "__proto__" would set the prototype instead of a property.
      const written = key === '__proto__' ? '["__proto__"]' : JSON.stringify(key)
      return `${written}: ${literal(item, name)}`
    })
    return entries.length === 0 ? '{}' : `{ ${entries.join(', ')} }`
  }
  const found = typeof value === 'number' ? String(value) : typeof value
  throw new NotebookError(
    `parameter "${name}": found ${found}, expected a JSON value. Write a text, number, true, false, null, list or object.`,
  )
}

function refusal(file: string, wrong: readonly string[], known: readonly string[]): string {
  const sentences = wrong.map((name) => {
    const near = nearest(name, known).join(', ')
    return `${file}: found the parameter "${name}", which its parameters cell does not declare; nearest: ${near}.`
  })
  return `${sentences.join('\n')}\nNothing was run.`
}

const isInjected = (cell: Cell): boolean => tagsOf(cell).includes(INJECTED_TAG)

function unusedId(cells: readonly Cell[]): string {
  const taken = new Set(cells.map((cell) => cell.id))
  let id: string = INJECTED_TAG
  for (let number = 2; taken.has(id); number += 1) id = `${INJECTED_TAG}-${number}`
  return id
}

/**
 * The notebook with the values put in after its parameters cell; cells injected by an earlier run are dropped,
 * so that no parameters give the notebook as its author wrote it.
 *
 * @param file what error messages call the notebook
 * Throws NotebookError for a name that the parameters cell does not declare with const or let at the start of
 * a line, naming the nearest; for a notebook without such a cell; for a value that is not JSON.
 */
export function withParameters(notebook: Notebook, parameters: Parameters, file: string): Notebook {
  const cells = notebook.cells.filter((cell) => !isInjected(cell))
  const names = Object.keys(parameters)
  if (names.length === 0) return { ...notebook, cells }
  const at = cells.findIndex((cell) => cell.cell_type === 'code' && tagsOf(cell).includes(PARAMETERS_TAG))
  const cell = cells[at]
  const declared = cell ? declarations(textOf(cell.source)) : []
  if (declared.length === 0) {
    throw new NotebookError(
      `${file}: found values for ${names.join(', ')} but no code cell tagged "${PARAMETERS_TAG}" that declares ` +
        'anything. Tag the cell that declares them with const or let. Nothing was run.',
    )
  }
  const known = declared.map((declaration) => declaration.name)
  const wrong = names.filter((name) => !known.includes(name))
  if (wrong.length > 0) throw new NotebookError(refusal(file, wrong, known))
  const assigned = declared
    .filter((declaration) => names.includes(declaration.name))
    .map(
      ({ name, type }) =>
        `let ${name}${type === undefined ? '' : `: ${type}`} = ${literal(parameters[name], name)}`,
    )
  const injected: CodeCell = {
    cell_type: 'code',
    id: unusedId(cells),
    metadata: { tags: [INJECTED_TAG] },
    // The kernel prints a cell's last value; this one has nothing to say.
    source: [...assigned, 'undefined;'].join('\n'),
    execution_count: null,
    outputs: [],
  }
  return { ...notebook, cells: [...cells.slice(0, at + 1), injected, ...cells.slice(at + 1)] }
}
