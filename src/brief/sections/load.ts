import { answer, type LoadResult, loadFigures, proofText } from '../../load/index.js'
import type { Section } from '../../paper/blocks.js'
import { cell, paragraph } from '../../paper/blocks.js'
import { numberText } from '../../paper/format.js'
import { exact } from '../../quantity/exact.js'
import { stagePictures } from '../../stowage/pictures/index.js'

const outcomes = {
  all: 'everything',
  some: 'not everything',
  impossible: 'proven too small',
  vehicle: 'vehicle does not fit',
  'not tried': 'not tried',
} as const

/** Whether it really goes in, piece by piece: the answer, the containers tried, mass and balance, a picture a stage. */
export function loadSection(result: LoadResult): Section {
  const figures = loadFigures(result.first, result.pieces, result.vehicles)
  const whole = (value: number) => numberText(exact.of(value), 0)
  const names = new Map(result.pieces.map((p) => [p.id, { label: p.label, kind: p.kind }]))
  const pictures = stagePictures(result.first.hold, result.first.plan, names).map(
    ({ svg, alt, stage, part, parts }) => ({
      caption: parts > 1 ? `Stage ${stage}, part ${part} of ${parts}` : `Stage ${stage}`,
      alt,
      svg,
    }),
  )
  return {
    id: 'load',
    title: 'Does it really go in?',
    blocks: [
      { kind: 'paragraph', lead: true, text: [answer(result)] },
      ...(proofText(result) === '' ? [] : [paragraph(proofText(result))]),
      {
        kind: 'table',
        caption: 'Containers packed piece by piece, smallest first',
        columns: [
          { label: 'Container' },
          { label: 'Outcome' },
          { label: 'Pieces in', numeric: true },
          { label: 'Why' },
        ],
        rows: result.trials.map((t) => ({
          cells: [
            cell(t.label),
            cell(outcomes[t.outcome]),
            cell(t.placed === 0 ? '\u2013' : whole(t.placed)),
            cell(t.text),
          ],
        })),
      },
      {
        kind: 'table',
        caption: `Mass and balance of the ${result.first.hold.label.toLowerCase()}`,
        columns: [{ label: 'What' }, { label: 'Here', numeric: true }, { label: 'Measured against' }],
        rows: [
          {
            cells: [
              cell('Gross mass by calculation'),
              cell(`${whole(figures.grossKg)} kg`),
              cell('SOLAS VI/2, method 2; no verified gross mass'),
            ],
          },
          {
            cells: [
              cell('Payload used'),
              cell(`${whole(figures.massShare * 100)} %`),
              cell(`${whole(figures.payloadKg)} kg by plate and roads`),
            ],
          },
          {
            cells: [
              cell('Inside used'),
              cell(`${whole(figures.spaceShare * 100)} %`),
              cell('walls to walls'),
            ],
          },
        ],
      },
      { kind: 'view' },
      { kind: 'pictures', pictures },
      paragraph(
        'A competent person checks, changes and signs the stow; the carrier’s terms, the CTU Code and local law come first. The loading list with every piece and carton comes with the load plan (quaybook load).',
      ),
    ],
  }
}
