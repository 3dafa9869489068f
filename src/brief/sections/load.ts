import { answer, type LoadResult, loadFigures, proofText } from '../../load/index.js'
import type { Section } from '../../paper/blocks.js'
import { cell, paragraph } from '../../paper/blocks.js'
import type { Words } from '../../paper/words.js'
import { exact } from '../../quantity/exact.js'
import { stagePictures } from '../../stowage/pictures/index.js'

/** Whether it really goes in, piece by piece: the answer, the containers tried, mass and balance, a picture a stage. */
export function loadSection(result: LoadResult, words: Words): Section {
  const { line } = words
  const outcomes = {
    all: line`everything`,
    some: line`not everything`,
    impossible: line`proven too small`,
    vehicle: line`vehicle does not fit`,
    'not tried': line`not tried`,
  } as const
  const figures = loadFigures(result.first, result.pieces, result.vehicles)
  const whole = (value: number) => words.locale.number(exact.of(value), 0)
  const names = new Map(result.pieces.map((p) => [p.id, { label: p.label, kind: p.kind }]))
  const pictures = stagePictures(result.first.hold, result.first.plan, names).map(
    ({ svg, alt, stage, part, parts }) => ({
      caption:
        parts > 1
          ? line`Stage ${String(stage)}, part ${String(part)} of ${String(parts)}`
          : line`Stage ${String(stage)}`,
      alt,
      svg,
    }),
  )
  return {
    id: 'load',
    title: words.say('annex.load'),
    blocks: [
      { kind: 'paragraph', lead: true, text: [answer(result)] },
      ...(proofText(result) === '' ? [] : [paragraph(proofText(result))]),
      {
        kind: 'table',
        caption: line`Containers packed piece by piece, smallest first`,
        columns: [
          { label: line`Container` },
          { label: line`Outcome` },
          { label: line`Pieces in`, numeric: true },
          { label: line`Why` },
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
        caption: line`Mass and balance of the container: ${result.first.hold.label}`,
        columns: [
          { label: line`What` },
          { label: line`Here`, numeric: true },
          { label: line`Measured against` },
        ],
        rows: [
          {
            cells: [
              cell(line`Gross mass by calculation`),
              cell(`${whole(figures.grossKg)} kg`),
              cell(line`SOLAS VI/2, method 2; no verified gross mass`),
            ],
          },
          {
            cells: [
              cell(line`Payload used`),
              cell(`${whole(figures.massShare * 100)} %`),
              cell(line`${whole(figures.payloadKg)} kg by plate and roads`),
            ],
          },
          {
            cells: [
              cell(line`Inside used`),
              cell(`${whole(figures.spaceShare * 100)} %`),
              cell(line`walls to walls`),
            ],
          },
        ],
      },
      { kind: 'view' },
      { kind: 'pictures', pictures },
      paragraph(
        line`A competent person checks, changes and signs the stow; the carrier’s terms, the CTU Code and local law come first. The loading list with every piece and carton comes with the load plan (quaybook load).`,
      ),
    ],
  }
}
