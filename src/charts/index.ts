export { chartSvg } from './render.js'
export * from './specs/index.js'
export { chartTheme } from './theme-file.js'
