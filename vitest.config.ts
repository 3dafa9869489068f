import { defineConfig } from 'vitest/config'
import { ClosingLine } from './tests/closing-line.js'

/** Long runs: whole notebooks, thousands of random households, browsers, every output of every command. */
const LONG = [
  'tests/agreement/**',
  'tests/analysis/simulate.test.ts',
  'tests/brief/brief.test.ts',
  'tests/cli/what-ifs.test.ts',
  'tests/explore/calculator.test.ts',
  'tests/explore/{choices,page}.test.ts',
  'tests/fuzz/**',
  'tests/load/load-plan.test.ts',
  'tests/notebook/{jupyter,kernel,run}.test.ts',
  'tests/notebooks/**',
  'tests/open/{notebook-page,page,page-fields,server}.test.ts',
  'tests/plan/ways.test.ts',
  'tests/risk/**',
  'tests/stowage/packing/{bischoff-ratcliff,fuzz}.test.ts',
  'tests/study/**',
  'tests/workbook/{households,random-plans,recalculation}.test.ts',
]

// A file that is named is run, long or not.
const named = process.argv.some((word) => word.startsWith('tests/'))

// `npm test` takes minutes; `npm run test:all`, which .ci/run calls, leaves nothing out.
export default defineConfig(({ mode }) => ({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['**/node_modules/**', ...(mode === 'all' || named ? [] : LONG)],
    reporters: ['default', new ClosingLine()],
    // Long runs use every core themselves; the short ones share them out.
    ...(mode === 'all' || named ? {} : { maxWorkers: '100%' }),
    testTimeout: 120_000,
    hookTimeout: 120_000,
  },
}))
