import { customsFigure } from '../customs/tables.js'
import { listed } from '../paper/format.js'
import type { Move } from '../plan/move.js'
import { stowedM3 } from '../stowage/packing/index.js'
import { tornRooms } from '../stowage/plan/index.js'
import type { LoadFigures } from './figures.js'
import type { LoadResult, Trial } from './load-result.js'

/** The answer in a sentence: does it go in, and into what. */
export function answer(result: LoadResult): string {
  const { first, more, pieces, byShare } = result
  const out = first.plan.leftOut.length
  const into = `one ${first.hold.label.toLowerCase()} container`
  if (out === 0) return `Everything goes into ${into}.`
  const stowed = pieces.length - out
  if (byShare.length > 0) {
    return `${stowed} of ${pieces.length} pieces go into ${into}; the other ${byShare.length} (${shareM3(result).toFixed(1)} m³) go by the booked share of another. ${roomsText(result)}`
  }
  if (result.complete) {
    return `Not everything goes into ${into}: ${stowed} of ${pieces.length} pieces do. The rest goes into ${listed(
      more.map(
        ({ hold, plan }) => `a ${hold.label.toLowerCase()} container (${plan.placements.length} pieces)`,
      ),
    )}, or in a shared one. ${roomsText(result)}`
  }
  return `Not everything goes into ${into}: ${stowed} of ${pieces.length} pieces do, and some of the rest into no container.`
}

/** Room that goes by the share, m³ as the pieces stand. */
function shareM3({ pieces, byShare }: LoadResult): number {
  const ids = new Set(byShare)
  return pieces.reduce((sum, p) => sum + (ids.has(p.id) ? stowedM3(p) : 0), 0)
}

/** Which rooms stay whole where not all goes into one container, and of which a part goes elsewhere. */
function roomsText({ first, pieces }: LoadResult): string {
  const out = new Set(first.plan.leftOut.map(({ pieceId }) => pieceId))
  const rest = pieces.filter(({ id }) => out.has(id))
  const torn = tornRooms(pieces, rest)
  const away = [...new Set(rest.map(({ room }) => room))].filter((room) => !torn.includes(room))
  return [
    ...(away.length === 0 ? [] : [`${listed(away)} ${away.length === 1 ? 'goes' : 'go'} there whole.`]),
    torn.length === 0
      ? 'No room is torn between them.'
      : `In part here and in part there: ${listed(torn)}; every other room stays together.`,
  ].join(' ')
}

/** Where the scenario books something else than the container shown, that it does, and how to see that load. */
export function bookedText({ booked, first, trials }: LoadResult): string {
  const [container = ''] = booked?.split('+') ?? []
  if (booked === undefined) return ''
  if (booked === first.hold.id) {
    const smaller = smallerThatTakesAll({ first, trials })
    return smaller === undefined
      ? ''
      : `The scenario books this container; a ${smaller.label.toLowerCase()} container takes everything too.`
  }
  if (!trials.some((t) => t.container === container)) {
    return trials.length > 1
      ? 'The scenario books a share of a container, the cheapest whole move; this is how it would go in one of its own.'
      : ''
  }
  const share = booked.includes('+') ? ' and a share of another for the rest' : ''
  return container === first.hold.id
    ? `The scenario books this container${share}.`
    : `The scenario books ${container}${share}, the cheapest whole move; --container ${container} shows that load.`
}

/** A smaller container than the one loaded that takes everything; trials stand by size. */
const smallerThatTakesAll = ({ first, trials }: Pick<LoadResult, 'first' | 'trials'>): Trial | undefined =>
  trials
    .slice(0, trials.findIndex((t) => t.container === first.hold.id) + 1)
    .find((t) => t.outcome === 'all' && t.container !== first.hold.id)

/** How sure it is that no smaller container would do, in a sentence. */
export function proofText(result: LoadResult): string {
  const { proof, first, trials } = result
  if (first.plan.leftOut.length > 0 || smallerThatTakesAll(result)) return ''
  const smaller = trials.findIndex((t) => t.container === first.hold.id)
  if (smaller <= 0) return 'It is the smallest container in the tables.'
  if (proof !== undefined) return `No arrangement could use a smaller container: ${proof.join(' ')}`
  return 'For a smaller container no plan was found; that none exists is not proven.'
}

/** Goods classes of inventory.csv that carriers treat as dangerous. */
const hazardClasses = new Set(['chemical', 'aerosol', 'fuel', 'battery', 'fireworks', 'ebike', 'perfume'])

/** Lines of the load that carriers treat as dangerous by their class, mark and name. */
function hazardsOf(move: Move, { pieces }: LoadResult): string[] {
  const marks = new Set(pieces.flatMap((p) => p.lines))
  return move.household.inventory
    .filter((line) => marks.has(line.line) && hazardClasses.has(line.class))
    .map((line) => `${line.line} ${line.item}`)
}

/** What can hurt someone or cost dear, and whom to ask. */
export function cautions(move: Move, result: LoadResult, figures: LoadFigures): string[][] {
  const { pieces, vehicles } = result
  const hazards = hazardsOf(move, result)
  const thinMm = customsFigure(move.reference.customs, 'wood.thin')
  const heavy = pieces.filter((p) => p.massKg >= 60)
  return [
    [
      'This is a plan on paper',
      'Sizes and masses are those of the inventory, many of them estimates. A competent person checks, changes and signs the stow on the day. The carrier’s own terms, the CTU Code (IMO/ILO/UNECE) and local law come first.',
    ],
    [
      'Lifting',
      `From 23 kg a piece is for two people; ${heavy.length === 0 ? 'none here is 60 kg or more' : `${heavy.length} here ${heavy.length === 1 ? 'is' : 'are'} 60 kg or more and ${heavy.length === 1 ? 'wants' : 'want'} a trolley, straps and trained people: ${listed(heavy.map((p) => `${p.label} (${Math.round(p.massKg)} kg)`))}`}. Nobody stands below a raised load or between a load and a wall.`,
    ],
    [
      'Securing',
      `Fill or brace every gap: the CTU Code asks for it where the gaps in one direction add up to more than 15 cm${figures.gapLengthMm > 0 ? `, which here is so along ${(figures.gapLengthMm / 1000).toFixed(1)} m of the floor` : ''}. Lash each wall of goods, and the face towards the door before it is shut. ${figures.freeAtDoorMm > 150 ? `The last ${(figures.freeAtDoorMm / 1000).toFixed(2)} m before the door are empty and must be braced. ` : ''}At the other end open one leaf at a time and stand aside: goods that have shifted fall out.`,
    ],
    [
      'Container limits',
      `Payload here is the lesser of the plate and the roads at both ends, ${kg(figures.payloadKg)}; read the plate of the box itself. The gross mass given is a calculation from estimates and is not a verified gross mass until every piece, the dunnage and the container have been weighed by a method the country of packing accepts.`,
    ],
    ...(vehicles.length > 0
      ? [
          [
            'The vehicle',
            'A vehicle in a container falls under the IMDG Code, class 9, unless its tank is empty and its battery is safe (special provisions 961 and 962); with fuel left, at most a quarter of the tank, and carriers are often stricter. Never one that leaks, was in a crash, or has a damaged lithium battery. Battery disconnected, parking brake on, chocked, and lashed by a competent person to points the maker provides; engine fumes in a container kill within minutes, so it is pushed or winched where that can be done. A deck over it is built by someone competent and rests on its own legs, never on the car.',
          ],
        ]
      : []),
    [
      'Timber that travels',
      `Raw wood over ${thinMm} mm that goes along as packing (crates, stop-gaps, the legs and boards of a deck) must have been treated and must bear the mark of ISPM 15, or customs may have it destroyed and the goods held. Plywood and board are outside the standard; furniture is cargo, not packing.`,
    ],
    [
      'Dangerous goods',
      `Gas, paint, solvents, aerosols, cleaning agents, loose lithium batteries, fuel and ammunition stay out of household freight unless the carrier agrees in writing.${hazards.length > 0 ? ` On this list, ask about: ${listed(hazards)}.` : ' None is on this list by its class; look again while packing.'}`,
    ],
    [
      'Air inside',
      'A closed container may hold fumigant or too little oxygen. Open it, let it air, and enter only when a qualified person says so.',
    ],
  ]
}

/** The numbers of the containers, once they are known. */
export const containersText = (numbers: readonly string[]): string =>
  numbers.length > 0 ? ` Container ${listed([...numbers])}.` : ''

export const kg = (n: number): string => `${Math.round(n).toLocaleString('en-GB')}\u00a0kg`
