import { readFileSync } from 'node:fs'
import type { ChartTheme } from './specs/chart.js'

/** Reads the look of all charts, shared/chart-theme.json. The page bundles the same file instead. */
export const chartTheme = (): ChartTheme =>
  JSON.parse(readFileSync(new URL('../../shared/chart-theme.json', import.meta.url), 'utf8')) as ChartTheme
