import { build } from 'esbuild'
import { expect, it } from 'vitest'

it.each(['src/bulk/index.ts', 'src/analysis/index.ts'])(
  '%s runs in a browser under a strict content policy: nothing of Node, no code made from text',
  async (entry) => {
    const done = await build({
      entryPoints: [entry],
      bundle: true,
      write: false,
      platform: 'browser',
      format: 'esm',
      treeShaking: true,
      metafile: true,
    })
    const text = done.outputFiles[0]?.text ?? ''
    expect(text).not.toMatch(/\bnode:[a-z]/)
    // Our own sources; libraries that feel for a global object are left to the policy itself.
    const own = Object.keys(done.metafile.inputs).filter((path) => path.startsWith('src/'))
    expect(own.length).toBeGreaterThan(5)
    expect(text.match(/\beval\(|new Function\(/g) ?? []).toEqual([])
  },
)
