// What the server hands out beside the folder itself: the built page, its styles, the reference tables. Read once.
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { extname, join } from 'node:path'
import { chartTheme } from '../charts/theme-file.js'
import { packageRoot } from '../plan/open.js'
import { readFolder } from '../tables/disk.js'
import type { ReferenceTexts } from './protocol.js'

export interface Asset {
  readonly type: string
  readonly content: Buffer
}

export interface Assets {
  /** The page, with the mark under which its policy allows a style sheet. */
  readonly page: (styleMark: string) => string
  readonly files: ReadonlyMap<string, Asset>
  /** The reference tables as JSON. */
  readonly reference: string
}

const TYPES: Readonly<Record<string, string>> = {
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.woff2': 'font/woff2',
}

/** Reads the built page and the reference tables. Throws one sentence where the package is not built. */
export async function openAssets(reference = join(packageRoot, 'data', 'reference')): Promise<Assets> {
  const built = join(packageRoot, 'dist', 'open', 'bundle')
  if (!existsSync(join(built, 'main.js')))
    throw new Error(`${built} is not there; build the package first: npm run build`)
  const files = new Map<string, Asset>()
  for (const name of readdirSync(built)) {
    const type = TYPES[extname(name)]
    if (type) files.set(name, { type, content: readFileSync(join(built, name)) })
  }
  files.set('open.css', {
    type: TYPES['.css'] ?? '',
    content: readFileSync(join(packageRoot, 'shared', 'open.css')),
  })
  return { page: pageText, files, reference: JSON.stringify(await referenceTexts(reference)) }
}

async function referenceTexts(folder: string): Promise<ReferenceTexts> {
  const reference = await readFolder(folder, 'reference')
  const customs = await readFolder(join(folder, 'customs'), 'reference/customs')
  if (!reference.ok || !customs.ok) throw new Error(`${folder} holds no reference tables in UTF-8`)
  return { reference: reference.value, customs: customs.value, theme: chartTheme() }
}

const pageText = (styleMark: string): string => `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="style-mark" content="${styleMark}">
<title>Quaybook</title>
<link rel="icon" href="data:,">
<link rel="stylesheet" href="/page/open.css">
<script type="module" src="/page/main.js"></script>
</head>
<body><noscript>This page calculates in your browser; allow it to run scripts.</noscript></body>
</html>
`
