// The program as it is built: all modules in one file, and beside it what the engine made of that file. Reading 400
// small files and compiling them took a third of the time of `check`.
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname } from 'node:path'
import { fileURLToPath } from 'node:url'
import { Script } from 'node:vm'
import type { main } from './main.js'

const file = fileURLToPath(new URL('./program.cjs', import.meta.url))
/** Compiled code by the engine that built the package; another engine refuses it and compiles for itself. */
const compiledFile = `${file}.compiled`

interface Program {
  readonly main: typeof main
  /** Keeps what the engine has compiled so far for the next start. */
  readonly keepCompiled: () => void
}

/** What few commands need stays outside the file and is an ES module. */
const importModule = (name: string): Promise<unknown> => import(name)

/** Loads the program. Throws where the package has not been built. */
export function loadProgram(): Program {
  const code = `(function (exports, require, module, __filename, __dirname, importModule) {${readFileSync(file, 'utf8')}\n})`
  const script = new Script(code, {
    filename: file,
    ...(existsSync(compiledFile) ? { cachedData: readFileSync(compiledFile) } : {}),
  })
  const loaded = { exports: {} as { readonly main: typeof main } }
  script.runInThisContext()(loaded.exports, createRequire(file), loaded, file, dirname(file), importModule)
  return {
    main: loaded.exports.main,
    keepCompiled: () => writeFileSync(compiledFile, script.createCachedData()),
  }
}
