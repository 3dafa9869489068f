import { ENGLISH } from '../paper/figure-text.js'
import { listed } from '../paper/format.js'
import { coverHtml, pageHtml, sectionHtml } from '../paper/page.js'
import { svgImage } from '../paper/picture.js'
import type { Move, Plan } from '../plan/move.js'
import { inFrontOf } from '../stowage/packing/index.js'
import { overviewPicture, stagePictures } from '../stowage/pictures/index.js'
import { escapeHtml as escaped } from '../tables/as-data.js'
import { type CrewWork, crewWork, type StageWork } from './crew-work.js'
import { loadFigures } from './figures.js'
import { numbers } from './find.js'
import { type ListRow, loadingList } from './list.js'
import type { LoadedContainer, LoadResult } from './load-result.js'
import { stowageFigures } from './pieces-of.js'
import { balanceRows, highRow } from './verdicts.js'
import { answer, bookedText, cautions, containersText, kg } from './words.js'

/**
 * The loading book: what a crew carries in its hands. One A4 page for each stage, its pictures and its list together,
 * numbers to be read at arm's length in grey, what is tied, filled and turned, minutes and people; before them the
 * container and its limits, after them what comes out first. Loads nothing and runs nothing.
 *
 * @param css the base style sheet and shared/load-book.css
 */
export function bookHtml(move: Move, plan: Plan, result: LoadResult, css: string): string {
  const { facts } = move.household
  const all = [result.first, ...result.more]
  const body = [
    coverHtml({
      kind: 'Loading book',
      household: facts.name,
      from: ENGLISH.place(facts.origin_place, facts.origin_country),
      to: ENGLISH.place(facts.destination_place, facts.destination_country),
      stated: `Scenario \u201c${result.scenario}\u201d. A plan on paper: a competent person checks, changes and signs the stow on the day.${containersText(facts.container_numbers)}`,
    }),
    '<main>',
    ...all.map((loaded, i) => containerHtml(move, plan, result, loaded, i, all.length)),
    '</main>',
  ].join('\n')
  return pageHtml({ lang: 'en-GB', title: `Loading book: ${facts.name}`, css, body })
}

function containerHtml(
  move: Move,
  plan: Plan,
  result: LoadResult,
  loaded: LoadedContainer,
  index: number,
  count: number,
): string {
  const work = crewWork(move, plan, loaded, result.pieces)
  const rows = loadingList(loaded, result.pieces, index + 1)
  const names = new Map(result.pieces.map((p) => [p.id, { label: p.label, kind: p.kind }]))
  const pictures = stagePictures(loaded.hold, loaded.plan, names, { mostParts: 2, numberPx: [14, 19] })
  const of = count > 1 ? `Container ${index + 1} of ${count}, ${loaded.hold.label}` : loaded.hold.label
  return [
    frontHtml(move, result, loaded, work, index, of),
    ...work.stages.map((stage) =>
      stageHtml(
        `${of}: stage ${stage.stage} of ${work.stages.at(-1)?.stage ?? stage.stage}`,
        stage,
        rows.filter((row) => row.stage === stage.stage),
        pictures.filter((picture) => picture.stage === stage.stage),
      ),
    ),
    unloadingHtml(loaded, rows, of, index),
  ].join('\n')
}

function frontHtml(
  move: Move,
  result: LoadResult,
  loaded: LoadedContainer,
  work: CrewWork,
  index: number,
  of: string,
): string {
  const vehicles = index === 0 ? result.vehicles : []
  const figures = loadFigures(loaded, result.pieces, vehicles)
  const { svg, alt } = overviewPicture(loaded.hold, loaded.plan)
  const minutes = work.stages.reduce((sum, s) => sum + s.minutes, 0)
  const cost = work.materials.reduce((sum, m) => sum + m.cost, 0)
  const caution = cautions(move, result, figures)
  return sectionHtml(`container-${index + 1}`, of, [
    index === 0 ? `<p class="answer">${escaped(answer(result))}</p>` : '',
    index === 0 && result.byShare.length > 0
      ? `<p><b>Not into this container, by the share:</b> ${escaped(listed(byShareNames(result)))}.</p>`
      : '',
    index === 0 && bookedText(result) !== '' ? `<p>${escaped(bookedText(result))}</p>` : '',
    `<p>${loaded.plan.placements.length} pieces, ${kg(figures.goodsKg)} of goods, ${kg(figures.grossKg)} with ${vehicles.length > 0 ? 'vehicle and ' : ''}container by calculation, ${figures.goodsM3.toFixed(1)} m³ as stowed, in ${work.stages.length} stages; about ${hours(minutes)} for ${work.stages[0]?.people ?? 2} people.</p>`,
    ...(loaded.plan.notes ?? []).concat(loaded.plan.unmet).map((text) => `<p><b>${escaped(text)}</b></p>`),
    `<figure>${svgImage(svg, alt)}<figcaption>Stages in the order of loading. The view to turn is in load.html.</figcaption></figure>`,
    '<table class="limits"><thead><tr><th scope="col">Limit</th><th scope="col">Here</th><th scope="col">At most</th><th scope="col">Verdict</th></tr></thead><tbody>',
    ...[...balanceRows(figures, loaded.hold), highRow(loaded, result.pieces, stowageFigures(move))]
      .filter(({ kept }) => kept !== undefined)
      .map(
        ({ what, here, rule, kept }) =>
          `<tr><th scope="row">${escaped(what)}</th><td>${escaped(here)}</td><td>${escaped(rule)}</td><td>${kept === true ? 'kept' : '<b>not kept</b>'}</td></tr>`,
      ),
    '</tbody></table>',
    `<p class="materials"><b>To have ready:</b> ${escaped(listed(work.materials.filter((m) => m.count > 0).map((m) => `${m.count} × ${m.label.toLowerCase()}`)))}; bought new about ${Math.round(cost)} ${work.currency}. ${escaped(work.billed)} Counts are common practice, no source.</p>`,
    '<ul class="cautions">',
    ...(index === 0 ? caution : caution.slice(0, 3)).map(
      ([title, text]) => `<li><b>${escaped(title ?? '')}.</b> ${escaped(text ?? '')}</li>`,
    ),
    '</ul>',
    signHtml(move.household.facts.container_numbers[index]),
  ])
}

/** Where the one who checks the stow signs for it, with what he has read off the container and what he changed. */
function signHtml(number: string | undefined): string {
  const blank = (label: string, text = ''): string =>
    `<div><dt>${escaped(label)}</dt><dd>${escaped(text)}</dd></div>`
  return [
    '<dl class="sign">',
    blank('Container number', number),
    blank('Seal number'),
    blank('Payload on the plate, kg'),
    blank('Changed in the stow, numbers'),
    blank('Checked and signed by'),
    blank('Place and date'),
    '</dl>',
  ].join('')
}

/** Marks and names of what goes by the share, so that a crew sets it aside. */
function byShareNames({ byShare, pieces }: LoadResult): string[] {
  const ids = new Set(byShare)
  return pieces.filter(({ id }) => ids.has(id)).map(({ id, label }) => `${id} ${label}`)
}

const hours = (minutes: number): string =>
  minutes < 90 ? `${minutes} minutes` : `${(minutes / 60).toFixed(1)} hours`

function stageHtml(
  title: string,
  work: StageWork,
  rows: readonly ListRow[],
  pictures: ReturnType<typeof stagePictures>,
): string {
  const hidden = pictures.flatMap((p) => p.hidden)
  const say = (what: string, list: readonly number[]): string =>
    list.length === 0 ? '' : `<b>${what}</b> ${numbers(list)}. `
  const byId = new Map(rows.map((row) => [row.piece.id, row.number]))
  const gap =
    work.gap === undefined
      ? ''
      : `<b>Fill</b> gaps over 15 cm, at most ${Math.round(work.gap.freeMm / 10)} cm across, ${(work.gap.x / 1000).toFixed(1)} m behind the front wall, ${(work.gap.z / 1000).toFixed(1)} m up. `
  const turned = work.turned.map(
    ({ pieceId, needsMm, freeMm, fits }) =>
      `<b>Turn inside</b> ${byId.get(pieceId) ?? ''}: it sweeps ${Math.round(needsMm / 10)} cm of ${Math.round(freeMm / 10)} cm free${fits ? '' : ', <b>too little</b>'}. `,
  )
  const half = Math.ceil(rows.length / 2)
  return [
    '<section class="page">',
    `<h2>${escaped(title)} <small>${work.pieces} ${work.pieces === 1 ? 'piece' : 'pieces'}, ${kg(work.massKg)}, ${work.minutes} minutes, ${work.people} people</small></h2>`,
    `<p class="do">${say('Tie', work.tie)}${gap}${say('Hand over what stands, from a step or by two', work.handedOn)}${say('Two people', work.two)}${say('Trolley, straps, more people', work.gear)}${turned.join('')}${say('Behind others in the picture', hidden)}Strap the face of the stage before the next one.</p>`,
    `<div class="pictures n${pictures.length}">`,
    ...pictures.map(({ svg, alt }) => svgImage(svg, alt)),
    '</div>',
    '<div class="lists">',
    listHtml(rows.slice(0, half), work),
    listHtml(rows.slice(half), work),
    '</div>',
    '<p class="care">A plan on paper: the foreman may change it. Nobody stands below a raised load or between a load and a wall; what cannot be lifted safely is not lifted.</p>',
    '</section>',
  ].join('\n')
}

function listHtml(rows: readonly ListRow[], work: StageWork): string {
  if (rows.length === 0) return ''
  const tied = new Set(work.tie)
  return [
    '<table><thead><tr><th scope="col">No.</th><th scope="col">Mark</th><th scope="col">What and where</th><th scope="col" class="n">kg</th></tr></thead><tbody>',
    ...rows.map(({ number, piece, place, turned }) => {
      const tags = [
        ...(tied.has(number) ? ['tie'] : []),
        ...(piece.kind === 'piece' ? ['pad'] : []),
        ...(piece.fragile || piece.maxLoadOnTopKg === 0 ? ['nothing on top'] : []),
        ...(piece.firstNeeded ? ['first needed'] : []),
        ...(turned === '' ? [] : [turned]),
      ]
      return `<tr><th scope="row">${number}</th><td>${escaped(piece.id)}</td><td>${escaped(piece.label)} <small>${escaped([place, ...tags].join('; '))}</small></td><td class="n">${piece.massKg.toFixed(0)}</td></tr>`
    }),
    '</tbody></table>',
  ].join('\n')
}

/** The order of rooms at the destination, and what an examination of each stage would have to move. */
function unloadingHtml(
  { hold, plan }: LoadedContainer,
  rows: readonly ListRow[],
  of: string,
  index: number,
): string {
  const rooms = [...new Set(rows.map((row) => row.piece.room))]
    .map((room) => {
      const own = rows.filter((row) => row.piece.room === room)
      const last = Math.max(...own.map((row) => row.number))
      return { room, own, last, mean: own.reduce((sum, r) => sum + r.number, 0) / own.length }
    })
    .sort((a, b) => b.mean - a.mean)
  const first = rows.filter((row) => row.piece.firstNeeded).map((row) => row.number)
  const valuable = rows.toSorted((a, b) => b.piece.worth - a.piece.worth).slice(0, 12)
  return [
    `<section class="page" id="unloading-${index + 1}">`,
    `<h2>${escaped(of)}: at the destination</h2>`,
    `<p class="do">Out in the reverse order, the highest number first. Open one leaf at a time and stand aside: goods that have shifted fall out. ${first.length > 0 ? `<b>First needed:</b> ${numbers(first)}.` : ''}</p>`,
    '<table><caption>Rooms in the order in which they come out</caption><thead><tr><th scope="col">Room</th><th scope="col">Numbers</th><th scope="col" class="n">Pieces</th></tr></thead><tbody>',
    ...rooms.map(
      ({ room, own }) =>
        `<tr><th scope="row">${escaped(room)}</th><td>${numbers(own.map((row) => row.number))}</td><td class="n">${own.length}</td></tr>`,
    ),
    '</tbody></table>',
    '<table><caption>If customs wants to see one piece: the dearest, and what has to come out before it</caption><thead><tr><th scope="col">No.</th><th scope="col">Mark</th><th scope="col">What</th><th scope="col" class="n">Pieces before it</th><th scope="col">Vehicle before it</th></tr></thead><tbody>',
    ...valuable.map(({ number, piece }) => {
      const before = inFrontOf(hold, plan, piece.id)
      return `<tr><th scope="row">${number}</th><td>${escaped(piece.id)}</td><td>${escaped(piece.label)}</td><td class="n">${before.placements.length}</td><td>${before.vehicles.length === 0 ? 'no' : 'yes'}</td></tr>`
    }),
    '</tbody></table>',
    '<p class="care">For any other piece: quaybook load DIR --find MARK.</p>',
    '</section>',
  ].join('\n')
}
