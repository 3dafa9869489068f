// Which cells hang on the household: those that use the parameter `household`, and those that use what such cells name.

interface Source {
  readonly code: string
  readonly tags: readonly string[]
}

const DECLARED =
  /(?:^|\n)\s*(?:export\s+)?(?:const|let|var|function|async function|class)\s+(\{[^}]*\}|\[[^\]]*\]|[A-Za-z_$][\w$]*)/g
const NAME = /[A-Za-z_$][\w$]*/g

const withoutTexts = (code: string): string =>
  code.replace(/\/\/.*|\/\*[\s\S]*?\*\//g, '').replace(/'(?:[^'\\\n]|\\.)*'|"(?:[^"\\\n]|\\.)*"/g, '')

function declared(code: string): string[] {
  return [...code.matchAll(DECLARED)].flatMap(
    ([, names = '']) =>
      // Of `{ move: mine }` it is `mine` that later cells use.
      names.replace(/[A-Za-z_$][\w$]*\s*:/g, '').match(NAME) ?? [],
  )
}

/**
 * For each cell, whether its outcome hangs on the household. Reading the names is enough to err on the safe side: a
 * cell that only mentions such a name counts as one that uses it.
 */
export function movingNames(cells: readonly Source[]): boolean[] {
  const moving = new Set(['household'])
  return cells.map(({ code }) => {
    const plain = withoutTexts(code)
    const used = plain.match(NAME) ?? []
    const hangs = used.some((name) => moving.has(name))
    if (hangs) for (const name of declared(plain)) moving.add(name)
    return hangs
  })
}

/** An id that no cell of the notebook has. */
export function freshNames(ids: readonly string[]): string {
  for (let n = 1; ; n++) {
    const id = `cell-${n}`
    if (!ids.includes(id)) return id
  }
}

/**
 * What the compiler says of a cell without the names it misses that other cells have: they may not have run yet.
 *
 * @param others the code of the other cells
 */
export function withoutNamesOf<P extends { readonly text: string }>(
  others: readonly string[],
  problems: readonly P[],
): P[] {
  const known = new Set(others.flatMap((code) => withoutTexts(code).match(NAME) ?? []))
  return problems.filter(({ text }) => {
    const missing = /^Cannot find name '([^']+)'/.exec(text)?.[1]
    return missing === undefined || !known.has(missing)
  })
}
