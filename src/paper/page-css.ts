// The style sheets of all pages, read from the package: one base, and what a kind of page adds.
import { readFileSync } from 'node:fs'

const sheet = (name: string): string =>
  readFileSync(new URL(`../../shared/${name}.css`, import.meta.url), 'utf8')

/** The base style sheet followed by those of this kind of page, by their names in `shared/`. */
export const pageCss = (...names: readonly string[]): string => ['base', ...names].map(sheet).join('\n')
