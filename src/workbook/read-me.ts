import type { WorkbookOptions } from './book.js'
import type { WorkbookScenario } from './layout.js'
import type { Content, Page } from './page-content.js'

/** The first sheet: what the workbook is, how to use it, what to beware of. */
export function readMe(
  scenarios: readonly WorkbookScenario[],
  { title, asOf, protect, recommendation = [] }: WorkbookOptions,
): Page {
  const line = (text: string): Content[] => [{ text, style: { wrap: true } }]
  const head = (text: string): Content[] => [{ text, style: { font: 'bold', fill: 'band' } }]
  const care = (text: string): Content[] => [
    { text, style: { font: 'caution', fill: 'caution', wrap: true } },
  ]
  const several = scenarios.length > 1
  return {
    name: 'Read me',
    portrait: true,
    onePage: true,
    widths: [92],
    rows: [
      [{ text: title ?? 'Moving plan', style: { font: 'title', wrap: true } }],
      [{ text: asOf ? `Figures as of ${asOf}.` : '', style: { font: 'note' } }],
      [],
      head('What this is'),
      line(
        'A plan for moving a household overseas, in formulas: every result follows from the inputs and changes with them.',
      ),
      line(`Scenarios: ${scenarios.map((s) => s.name).join('; ')}.`),
      ...recommendation.map(line),
      [],
      head('How to use it'),
      [
        {
          text: 'A cell like this is an input: type over it.',
          style: { font: 'input', fill: 'input', border: 'thin' },
        },
      ],
      ...(several
        ? [
            [
              {
                text: 'A cell like this follows the first scenario; type over it to change one scenario alone.',
                style: { font: 'input', fill: 'linked', border: 'thin' },
              } as const,
            ],
          ]
        : []),
      line(
        'Inputs and Inventory hold the inputs with unit, range, source and how far the value was confirmed. The other sheets are results.',
      ),
      line(
        'Rows that are parts or measures are folded away: press + or 2 in the margin at the left to see them. Paper shows what is unfolded.',
      ),
      line(
        'Scenarios sets the totals side by side, with every way to carry and its whole cost. The cheapest that works is taken, so that a changed input may change the container; choose another from the yellow list below them and everything follows. Its charts follow.',
      ),
      line(
        'A row has the same formula in every column. Where scenarios work a figure out differently, CHOOSE takes the formula by the number of the scenario on Choices. What differs from scenario to scenario is taken by its address, a number of the rules by its name.',
      ),
      line(
        'Check compares every figure with the model and says when inputs have changed. An input has a name, such as delay_days, that your own formulas can use.',
      ),
      line(
        'Hidden sheets: Ways has all figures of every way to carry and to declare, Steps the long and shared parts of formulas.',
      ),
      line(
        'Other choices in words (who does what, which cover, dates) are on Choices and are fixed: changing one needs a new workbook from the program. So is the carriage where a scenario states it.',
      ),
      ...(protect
        ? [
            line(
              'Sheets are locked but for the inputs. There is no password: unlock a sheet to change its formulas.',
            ),
          ]
        : []),
      [],
      head('Take care'),
      care(
        'Estimates, not quotes. Ask for written quotes before you decide, and compare what each one leaves out.',
      ),
      care(
        'Customs, tax and quarantine: the law of the day at both ends decides. Ask the customs office or a licensed broker.',
      ),
      care(
        'Insurance: the policy wording decides what is paid. Read it before you sign, and declare full values.',
      ),
      care(
        'Lifting, lashing, lithium batteries, fuel and other dangerous goods can hurt people: follow local law and use trained or licensed people.',
      ),
      care(
        'The sheets test no load: mass on the road, stowage and lashing are for the carrier and the haulier to confirm.',
      ),
      ...warningRows(scenarios),
    ],
  }
}

function warningRows(scenarios: readonly WorkbookScenario[]): Content[][] {
  const holders = new Map<string, string[]>()
  for (const { name, sheet } of scenarios) {
    for (const w of sheet.warnings ?? []) {
      const text = `${w.severity === 'stop' ? 'Stop' : w.severity === 'care' ? 'Care' : 'Note'} (${w.step}): ${w.text}`
      holders.set(text, [...(holders.get(text) ?? []), name])
    }
  }
  if (holders.size === 0) return []
  return [
    [],
    [{ text: 'What the plan warns of', style: { font: 'bold', fill: 'band' } }],
    ...[...holders].map(([text, names]): Content[] => [
      {
        text:
          scenarios.length > 1 && names.length < scenarios.length ? `${text} (${names.join('; ')})` : text,
        style: { font: 'caution', wrap: true },
      },
    ]),
  ]
}
