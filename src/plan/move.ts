import type { Decimal } from 'decimal.js'
import { OWN_CUSTOMS_FILE, withOwnRows } from '../customs/own-rows.js'
import { readCustomsTables } from '../customs/tables.js'
import { type Bounded, bounded } from '../quantity/bounded.js'
import { exact } from '../quantity/exact.js'
import { type Recorded, recorded } from '../quantity/recorded.js'
import { type CsvFile, cellKey } from '../tables/csv.js'
import {
  HOUSEHOLD_FILES,
  type Household,
  type HouseholdReading,
  readHouseholdFiles,
} from '../tables/household.js'
import { inOrder, isUnlikely, type Problem, problemsOf, type Read } from '../tables/problem.js'
import { readReference } from '../tables/reference.js'
import { type CustomsFindings, IMPORTER_TAKEN } from './customs-cells.js'
import { type Change, type InputTable, inputsOf, withChanges } from './inputs.js'
import { refuseUnbounded } from './ledger.js'
import { planSheet, resolveChoices, type Sheet, TRANSPORT_TAKEN } from './plan.js'
import type { References } from './plan-context.js'
import { missingRowProblem } from './reference-row.js'
import { MissingRow } from './refusal.js'
import { asChanged, type Shipment, shipmentOf } from './shipment.js'
import { type UnusedChange, unusedChanges } from './unused.js'

/** A household with the reference tables and all inputs: everything a plan is made from. */
export interface Move {
  readonly household: Household
  readonly reference: References
  readonly inputs: InputTable
  /** What is unlikely in the household's files and not confirmed: to be shown beside the figures. */
  readonly questions: readonly Problem[]
  /** How many cells of the household's files hold something. */
  readonly filledCells: number
}

/** One scenario, planned: exact amounts, and the guaranteed range of each cell while inputs stay inside theirs. */
export interface Plan {
  readonly name: string
  /** All that was changed to make this plan: a what-if on top of it starts from these. */
  readonly changes: readonly Change[]
  /** Changes that no figure of this plan reads, each with the reason. */
  readonly unused: readonly UnusedChange[]
  readonly inputs: InputTable
  /** The household as this scenario has it. */
  readonly household: Household
  readonly shipment: Shipment
  readonly sheet: DecidedSheet
  /** Worked out when somebody asks. A cell that may divide by zero inside the ranges has no bound. */
  readonly range: Sheet<Bounded>
}

/** Reads the reference tables, text in: the part of a move that no household changes. */
export function readReferences(
  referenceFiles: readonly CsvFile[],
  customsFiles: readonly CsvFile[],
): Read<References> {
  const tables = readReference(referenceFiles)
  const customs = readCustomsTables(customsFiles)
  if (!tables.ok || !customs.ok) return { ok: false, problems: problemsOf([tables, customs]) }
  return { ok: true, value: { ...tables.value, customs: customs.value } }
}

/** A move, or every problem of every file and how many cells of them hold something. */
export type MoveReading =
  | { readonly ok: true; readonly value: Move }
  | { readonly ok: false; readonly problems: readonly Problem[]; readonly filledCells?: number }

/** The exact sheet, and which of the ways worked out it takes. */
export interface DecidedSheet extends Sheet<Decimal> {
  /** What customs makes of the move under the carriage and the importer taken. */
  readonly customs: CustomsFindings
}

/**
 * Reads a household's files and the reference tables, text in.
 *
 * @param ofFolder what was found wrong or unlikely when the household's files were looked for
 * @returns the move, or every problem of every file
 */
export function readMove(
  householdFiles: readonly CsvFile[],
  referenceFiles: readonly CsvFile[],
  customsFiles: readonly CsvFile[],
  ofFolder: readonly Problem[] = [],
): MoveReading {
  const own = householdFiles.find(({ file }) => file.split('/').at(-1) === OWN_CUSTOMS_FILE)
  const rules = own ? withOwnRows(customsFiles, own) : ({ ok: true, value: customsFiles } as const)
  if (!rules.ok) return rules
  const reference = readReferences(referenceFiles, rules.value)
  return reference.ok ? readMoveWith(reference.value, householdFiles, ofFolder) : reference
}

/** Reads a household's files against reference tables that are read already, text in. */
export function readMoveWith(
  reference: References,
  householdFiles: readonly CsvFile[],
  ofFolder: readonly Problem[] = [],
): MoveReading {
  const reading = readHouseholdFiles(householdFiles, reference, reference.customs.classes, ofFolder)
  const { household, filled: filledCells } = reading
  const { table: inputs, problems: ofInputs } = inputsOf(household, reference)
  const found = reading.ground.unread.has('household.csv')
    ? reading.problems
    : inOrder([...reading.problems, ...later(reading, inputs, ofInputs)], Object.values(HOUSEHOLD_FILES))
  const questions = found.filter(isUnlikely)
  if (questions.length < found.length) return { ok: false, problems: found, filledCells }
  return { ok: true, value: { household, reference, inputs, questions, filledCells } }
}

/**
 * What the rates and the scenarios have wrong against the inputs of the plan, told together with what the files have
 * wrong on their own: nothing that only follows from a cell or a file which could not be read.
 */
function later(
  { household, ground: { doubtful, unread } }: HouseholdReading,
  inputs: InputTable,
  ofInputs: readonly Problem[],
): Problem[] {
  const { facts, factsFile, factLines } = household
  const currency = cellKey({ file: factsFile, line: factLines.get('currency') ?? 1 }, 'currency')
  const countryUnknown = ['origin_country', 'destination_country'].some((fact) =>
    doubtful.has(cellKey({ file: factsFile, line: factLines.get(fact) ?? 1 }, fact)),
  )
  const loose = unread.size > 0
  const ofScenarios = household.scenarios.flatMap(({ changes }) => {
    const changed = withChanges(inputs, changes)
    return changed.ok ? [] : changed.problems
  })
  return [...ofInputs, ...ofScenarios].filter((p) => {
    if (doubtful.has(cellKey(p, p.column))) return false
    if (/^(origin|destination)_country$/.test(p.column) && countryUnknown) return false
    if (p.column === 'import-on' && facts.import_on < facts.load_on) return false
    if (p.file.endsWith('exchange.csv')) return !doubtful.has(currency) && !unread.has('exchange.csv')
    return !(
      loose &&
      /^(line|take|vehicle|deck|quote|exchange|importer)\b/.test(`${p.column} ${p.found}`.replace(/^id /, ''))
    )
  })
}

/** Plans one set of changes under a name. */
export function planOf(move: Move, name: string, changes: readonly Change[]): Read<Plan> {
  try {
    return planWithAllRows(move, name, changes)
  } catch (error) {
    // Which rows a plan needs shows only when it is made: somebody's own tables may well do without the others.
    if (!(error instanceof MissingRow)) throw error
    return { ok: false, problems: [missingRowProblem(error, move.reference)] }
  }
}

function planWithAllRows(move: Move, name: string, changes: readonly Change[]): Read<Plan> {
  const { household, reference } = move
  const changed = withChanges(move.inputs, changes)
  if (!changed.ok) return changed
  const inputs = resolveChoices(changed.value, household, reference)
  const sheet = planSheet(exact, inputs, household, reference)
  refuseUnbounded(sheet.cells)
  const decided = asDecided(sheet)
  const now = asChanged(inputs, household)
  const shipment = shipmentOf(now)
  let range: Sheet<Bounded> | undefined
  return {
    ok: true,
    value: {
      name,
      changes: [...changes, ...wordsDecided(changed.value, inputs)],
      unused: unusedChanges(changes, inputs, decided, shipment),
      inputs,
      household: now,
      shipment,
      sheet: decided,
      get range() {
        range ??= planSheet(bounded, inputs, household, reference, sheet.hanging)
        return range
      },
    },
  }
}

/** The words that a cover left open came to, so that what-ifs on top of the plan keep the cover it was made with. */
const wordsDecided = (stated: InputTable, decided: InputTable): Change[] =>
  [...decided.choices.values()].flatMap(({ id, value }) =>
    stated.choices.get(id)?.value === value
      ? []
      : [{ id, value, place: { file: 'cover decision', line: 1 } }],
  )

/** Names the carriage and the importer that an exact sheet takes. */
function asDecided(sheet: Sheet<Decimal>): DecidedSheet {
  const taken = (id: string) => (sheet.cells.get(id)?.value.toNumber() ?? 1) - 1
  const carriage = sheet.carriages[taken(TRANSPORT_TAKEN)]
  const customs = carriage?.customs[taken(IMPORTER_TAKEN)]
  if (!carriage || !customs) throw new Error('a plan without a carriage or without people cannot be made')
  const choices = new Map(sheet.choices)
  choices.set('transport', carriage.option)
  choices.set('importer', customs.importer)
  return { ...sheet, choices, customs }
}

/**
 * The same plan with its formulas kept: for `explain`, the workbook and bulk columns.
 *
 * @param only the carriages among which the cheapest is taken, whatever carriage the plan states; left out, `cheapest`
 *   chooses among all, and a stated one is kept
 */
export function recordedSheet(move: Move, plan: Plan, only?: readonly string[]): Sheet<Recorded> {
  const { household, reference } = move
  const stated = plan.inputs.choices.get('transport')
  if (only === undefined || stated === undefined || stated.value === 'cheapest') {
    return planSheet(recorded, plan.inputs, household, reference, plan.sheet.hanging, only)
  }
  const choices = new Map(plan.inputs.choices).set('transport', { ...stated, value: 'cheapest' })
  const open = { ...plan.inputs, choices }
  // A plan with a stated carriage has no cells that hang on the choice of one: an exact run tells which do here.
  const { hanging } = planSheet(exact, open, household, reference, undefined, only)
  return planSheet(recorded, open, household, reference, hanging, only)
}

/** The scenarios of a household; one without any is planned as its files stand. */
export const scenariosOf = ({ household }: Move): Household['scenarios'] =>
  household.scenarios.length > 0 ? household.scenarios : [{ name: 'As stated', changes: [] }]

/**
 * Plans each scenario of the household; a household without scenarios is planned as its files stand.
 *
 * @param set changes on top of every scenario, as `--set id=value` states them
 */
export function planScenarios(move: Move, set: readonly Change[] = []): Read<readonly Plan[]> {
  const problems: Problem[] = []
  const plans: Plan[] = []
  for (const { name, changes } of scenariosOf(move)) {
    const plan = planOf(move, name, [...changes, ...set])
    if (plan.ok) plans.push(plan.value)
    else problems.push(...plan.problems)
  }
  return problems.length > 0 ? { ok: false, problems: distinct(problems) } : { ok: true, value: plans }
}

/** A change that is wrong for every scenario is one problem, not one a scenario. */
function distinct(problems: readonly Problem[]): Problem[] {
  const seen = new Set<string>()
  return problems.filter((problem) => {
    const key = JSON.stringify(problem)
    return seen.has(key) ? false : seen.add(key)
  })
}
