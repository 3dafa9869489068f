import { oneRun } from '../paper/one-run.js'
import { UnusableInput } from '../plan/refusal.js'
import { terminalText } from '../tables/as-data.js'
import { suggestion } from '../tables/nearest.js'
import { isUnlikely } from '../tables/problem.js'
import { readArgs, UsageError } from './args.js'
import { brief } from './brief.js'
import { check } from './check.js'
import { type Command, type ExitCode, type Io, Refusal } from './command.js'
import { compareCommand } from './compare.js'
import { customs } from './customs.js'
import { enquiry } from './enquiry.js'
import { explainCommand } from './explain.js'
import { explore } from './explore.js'
import { kernel } from './kernel.js'
import { loadCommand } from './load.js'
import { moversCommand } from './movers.js'
import { newCommand } from './new.js'
import { notebooks } from './notebooks.js'
import { openCommand } from './open.js'
import { simulateCommand } from './simulate.js'
import { start } from './start.js'
import { sweepCommand } from './sweep.js'
import { tornadoCommand } from './tornado.js'
import { workbookCommand } from './workbook.js'

const commands: readonly Command[] = [
  start,
  openCommand,
  brief,
  check,
  compareCommand,
  explainCommand,
  explore,
  customs,
  enquiry,
  moversCommand,
  notebooks,
  kernel,
  loadCommand,
  workbookCommand,
  tornadoCommand,
  sweepCommand,
  simulateCommand,
  newCommand,
]

/** Carries out one command line and says how it went. */
export async function main(words: readonly string[], terminal: Io): Promise<ExitCode> {
  const io: Io = {
    out: (text) => terminal.out(terminalText(text)),
    err: (text) => terminal.err(terminalText(text)),
  }
  const [name, ...rest] = words
  if (name === undefined || name === '--help' || name === '-h' || name === 'help') {
    io.out(overview())
    return 0
  }
  const command = commands.find((c) => c.name === name)
  if (!command) {
    io.err(
      `quaybook: unknown command ${name}. ${suggestion(
        name,
        commands.map((c) => c.name),
      )}`,
    )
    return 2
  }
  if (rest.includes('--help') || rest.includes('-h')) {
    io.out(help(command))
    return 0
  }
  try {
    const args = readArgs(rest, command.options)
    const folder = command.writesTo?.(args)
    if (folder === undefined) return await command.run(args, io)
    return await oneRun(folder, new Date().toISOString(), () => command.run(args, io))
  } catch (error) {
    if (error instanceof Refusal) {
      const count = error.problems.filter((p) => !isUnlikely(p)).length
      io.err(
        `${error.message}\n${count} ${count === 1 ? 'problem' : 'problems'}; nothing was calculated or written.`,
      )
      return 2
    }
    if (error instanceof UsageError) {
      io.err(`quaybook ${name}: ${error.message}`)
      return 2
    }
    if (error instanceof UnusableInput) {
      io.err(`quaybook ${name}: ${error.message}`)
      return 2
    }
    io.err(`quaybook ${name}: ${error instanceof Error ? error.message : String(error)}`)
    return 1
  }
}

function overview(): string {
  const width = Math.max(...commands.map((c) => `${c.name} ${c.words}`.length))
  const lines = commands.map((c) => `  ${`${c.name} ${c.words}`.padEnd(width)}  ${c.says}`)
  return [
    'quaybook: what a move overseas by container takes, from a household’s CSV files',
    '',
    ...lines,
    '',
    'DIR is a household’s folder; without one the demo household is taken.',
    'quaybook COMMAND --help tells the options of a command.',
  ].join('\n')
}

function help(command: Command): string {
  const options = Object.entries(command.options).map(([name, { value, says }]) => ({
    head: `--${name}${value ? ` ${value}` : ''}`,
    says,
  }))
  const width = Math.max(0, ...options.map(({ head }) => head.length))
  return [
    `quaybook ${command.name} ${command.words}`.trimEnd(),
    command.says,
    ...(options.length > 0
      ? ['', ...options.map(({ head, says }) => `  ${head.padEnd(width)}  ${says}`)]
      : []),
  ].join('\n')
}
