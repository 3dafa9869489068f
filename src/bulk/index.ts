export { compile, dependsOn, withoutIdleInputs } from './compile.js'
export { Columns, type Fill, type Take } from './machine.js'
export type { Program, ProgramNode } from './program.js'
export { ExactReading } from './settle.js'
