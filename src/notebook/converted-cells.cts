// What the compiler has made of cells before. It takes seconds to start and a fifth of a second for each cell, and what it
// makes of a cell hangs on nothing but the cell, on what the cells above have declared, and on the types of packages: so it
// is kept beside the build, and a notebook that has run once runs again without the compiler.
import crypto = require('node:crypto')
import fs = require('node:fs')
import nodeModule = require('node:module')
import path = require('node:path')
import type ts = require('typescript')
import renewal = require('./kernel-renewal.cjs')

interface Diagnostic {
  readonly start: { readonly line: number; readonly character: number }
  readonly messageText: string
  /** Missing where the cell itself is meant. */
  readonly fileName?: string
}

/** What tslab's converter makes of a cell. */
interface Converted {
  readonly output?: string
  readonly declOutput?: string
  readonly diagnostics: readonly Diagnostic[]
  readonly hasToplevelAwait?: boolean
  readonly sideOutputs?: unknown
  readonly lastExpressionVar?: string
}

/** As much of tslab's converter as its executor uses. */
interface Converter {
  /** @param trial whether the cell is only looked at: it may be half typed, and is not kept */
  convert(declared: string, code: string, trial?: boolean): Converted
  inspect(declared: string, code: string, position: number): unknown
  complete(declared: string, code: string, position: number): unknown
  addModule(...parts: unknown[]): unknown
  close(): void
}

interface KeepingConverter extends Converter {
  /** Starts the compiler if one of these cells, run one after the other from the first, needs it. */
  readyFor(codes: readonly string[]): void
}

/** Files that are kept, at most: cells that somebody tries out over and over must not fill a disk. */
const MOST = 1_000
/** Written by the build: a digest of every type that a cell of this package can meet. */
const digestFile = path.join(__dirname, '..', 'types.sha256')

/**
 * The folder of converted cells, for the types as they are and the versions in use. Nothing where a kernel works for
 * another copy of this package, or where the build has left no digest.
 */
function folderFor(workingDir: string, versions: readonly string[]): string | undefined {
  try {
    const found = nodeModule.createRequire(path.join(workingDir, 'cell.js')).resolve('quaybook')
    if (fs.realpathSync(path.dirname(found)) !== fs.realpathSync(path.dirname(digestFile))) return undefined
    const digest = digestOf([fs.readFileSync(digestFile, 'utf8'), ...versions])
    return path.join(path.dirname(digestFile), 'converted-cells', digest)
  } catch {
    return undefined
  }
}

const digestOf = (parts: readonly string[]): string =>
  crypto.createHash('sha256').update(JSON.stringify(parts)).digest('hex')

/**
 * A converter that looks among the kept cells first. The compiler's own is made when it is first needed.
 *
 * Cells are kept that have no fault and import nothing but packages without a state of their own: a file that a cell
 * imports may change.
 */
function keeping(make: () => Converter, folder: string, typescript: typeof ts): KeepingConverter {
  let made: Converter | undefined
  const own = (): Converter => {
    made ??= make()
    return made
  }
  const place = (declared: string, common: string): string =>
    path.join(folder, `${digestOf([declared, common])}.json`)
  const mayBeKept = (code: string): boolean =>
    typescript
      .preProcessFile(code, true, true)
      .importedFiles.every(({ fileName }) => renewal.isStateless(fileName))
  return {
    convert(declared, code, trial = false) {
      if (!mayBeKept(code)) return own().convert(declared, code)
      const { common, filled } = withoutValues(code, typescript)
      const known = read(place(declared, common))
      if (known) return filled(known)
      const converted = own().convert(declared, common)
      // What is wrong is said of the cell as it is written.
      if (converted.diagnostics.length > 0 || converted.sideOutputs !== undefined)
        return common === code ? converted : own().convert(declared, code)
      if (!trial) keep(place(declared, common), converted)
      return filled(converted)
    },
    readyFor(codes) {
      let declared = ''
      for (const code of codes) {
        const known = mayBeKept(code) && read(place(declared, withoutValues(code, typescript).common))
        if (!known) {
          own()
          return
        }
        declared = known.declOutput ?? ''
      }
    },
    inspect: (...asked) => own().inspect(...asked),
    complete: (...asked) => own().complete(...asked),
    addModule: (...parts) => own().addModule(...parts),
    close: () => made?.close(),
  }
}

interface Value {
  readonly from: number
  readonly to: number
  readonly text: string
  /** Another value of its type, which is like nothing else in a cell. */
  readonly standIn: string
}

/**
 * Cells of parameters differ in nothing but values, of which the compiler looks at the type only: with others in their
 * place such a cell is the same for every household.
 */
function withoutValues(
  code: string,
  typescript: typeof ts,
): { readonly common: string; readonly filled: (converted: Converted) => Converted } {
  const asIs = { common: code, filled: (converted: Converted) => converted }
  const source = typescript.createSourceFile('cell.ts', code, typescript.ScriptTarget.Latest, true)
  const values: Value[] = []
  for (const statement of source.statements) {
    if (!typescript.isVariableStatement(statement)) return asIs
    for (const { type, initializer } of statement.declarationList.declarations) {
      const text = initializer?.getText(source) ?? ''
      const standIn = standInFor(type?.getText(source), text, values.length)
      if (!initializer || standIn === undefined) return asIs
      values.push({ from: initializer.getStart(source), to: initializer.end, text, standIn })
    }
  }
  let common = ''
  let from = 0
  for (const value of values) {
    common += code.slice(from, value.from) + value.standIn
    from = value.to
  }
  common += code.slice(from)
  const filled = (converted: Converted): Converted => ({
    ...converted,
    output: values.reduce(
      (output, { standIn, text }) => output.replace(standIn, () => text),
      converted.output ?? '',
    ),
  })
  return values.length === 0 ? asIs : { common, filled }
}

function standInFor(type: string | undefined, text: string, place: number): string | undefined {
  const one = { string: JSON.stringify(`value ${place} of a parameter`), number: String(1e15 + place) }
  const kind = type?.replace('[]', '')
  if (kind !== 'string' && kind !== 'number') return undefined
  try {
    const value: unknown = JSON.parse(text)
    if (type === kind) return typeof value === kind ? one[kind] : undefined
    const fits = Array.isArray(value) && value.every((item) => typeof item === kind)
    return fits ? `[${one[kind]}]` : undefined
  } catch {
    return undefined // No value as JSON has it: the cell counts as it stands.
  }
}

function read(file: string): Converted | undefined {
  try {
    return JSON.parse(fs.readFileSync(file, 'utf8')) as Converted
  } catch {
    return undefined
  }
}

/** A folder that cannot be written to costs time at the next run and nothing else. */
function keep(file: string, converted: Converted): void {
  const beside = `${file}.${process.pid}.new`
  try {
    fs.mkdirSync(path.dirname(file), { recursive: true })
    if (fs.readdirSync(path.dirname(file)).length >= MOST) return
    fs.writeFileSync(beside, JSON.stringify(converted), { flag: 'wx' })
    fs.renameSync(beside, file)
  } catch {
    fs.rmSync(beside, { force: true })
  }
}

export = { folderFor, keeping }
