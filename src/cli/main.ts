import { oneRun } from '../paper/one-run.js'
import { UnusableInput } from '../plan/refusal.js'
import { terminalText } from '../tables/as-data.js'
import { suggestion } from '../tables/nearest.js'
import { countOf, isUnlikely } from '../tables/problem.js'
import { readArgs, UsageError } from './args.js'
import { type Command, type ExitCode, type Io, Refusal } from './command.js'

/** The commands in the order of the overview; each is loaded when it is asked for, so that a short one starts at once. */
const commands: ReadonlyMap<string, () => Promise<Command>> = new Map([
  ['start', async () => (await import('./start.js')).start],
  ['open', async () => (await import('./open.js')).openCommand],
  ['brief', async () => (await import('./brief.js')).brief],
  ['check', async () => (await import('./check.js')).check],
  ['claim', async () => (await import('./claim.js')).claim],
  ['compare', async () => (await import('./compare.js')).compareCommand],
  ['explain', async () => (await import('./explain.js')).explainCommand],
  ['explore', async () => (await import('./explore.js')).explore],
  ['customs', async () => (await import('./customs.js')).customs],
  ['dates', async () => (await import('./dates.js')).dates],
  ['enquiry', async () => (await import('./enquiry.js')).enquiry],
  ['movers', async () => (await import('./movers.js')).moversCommand],
  ['leave', async () => (await import('./leave.js')).leaveCommand],
  ['notebooks', async () => (await import('./notebooks.js')).notebooks],
  ['kernel', async () => (await import('./kernel.js')).kernel],
  ['load', async () => (await import('./load.js')).loadCommand],
  ['workbook', async () => (await import('./workbook.js')).workbookCommand],
  ['rates', async () => (await import('./rates.js')).ratesCommand],
  ['tornado', async () => (await import('./tornado.js')).tornadoCommand],
  ['sweep', async () => (await import('./sweep.js')).sweepCommand],
  ['study', async () => (await import('./study.js')).studyCommand],
  ['ask', async () => (await import('./ask.js')).askCommand],
  ['simulate', async () => (await import('./simulate.js')).simulateCommand],
  ['new', async () => (await import('./new.js')).newCommand],
])

/** Carries out one command line and says how it went. */
export async function main(words: readonly string[], terminal: Io): Promise<ExitCode> {
  const io: Io = {
    out: (text) => terminal.out(terminalText(text)),
    err: (text) => terminal.err(terminalText(text)),
  }
  const [name, ...rest] = words
  if (name === undefined || name === '--help' || name === '-h' || name === 'help') {
    io.out(overview(await Promise.all([...commands.values()].map((load) => load()))))
    return 0
  }
  const load = commands.get(name)
  if (!load) {
    io.err(`quaybook: unknown command ${name}. ${suggestion(name, [...commands.keys()])}`)
    return 2
  }
  const command = await load()
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
      const count = countOf(error.problems.filter((p) => !isUnlikely(p)))
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

function overview(all: readonly Command[]): string {
  const width = Math.max(...all.map((c) => `${c.name} ${c.words}`.length))
  const lines = all.map((c) => `  ${`${c.name} ${c.words}`.padEnd(width)}  ${c.says}`)
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
