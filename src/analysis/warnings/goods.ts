import { says } from '../../paper/sentence.js'
import type { Move, Plan } from '../../plan/move.js'
import { providers } from '../../plan/providers.js'
import { named, type PlanWarning, warning } from './warning.js'

/** Materials that plant, animal and species law asks about, in the words of inventory.csv. */
const WATCHED_MATERIALS = new Set([
  'raw-wood',
  'ivory',
  'shell',
  'coral',
  'soil',
  'feather',
  'fur',
  'rosewood',
])

/**
 * Words that hint at goods carriers treat as dangerous, in the languages in which papers are written. A hint only: the
 * carrier's own list decides. Words that mean a picture or a pan as well stand with what makes them plain.
 */
const HAZARD_WORDS =
  /(?<!\p{L})(litio|lithium|batter(?:y|ies)|power ?bank|aerosol|spray|paint|varnish|thinner|solvent|white spirit|petrol|diesel|paraffin|kerosene|gas (?:bottle|cylinder|canister|cartridge)|butane|propane|lighter|matches|firework|flare|ammunition|bleach|pool chemical|fertili[sz]er|pesticide|diving (?:tank|cylinder)|fire extinguisher|aerosole|(?:latas?|botes?|tarros?) de pintura|barniz|barnices|disolvente|aguarr[áa]s|nafta|gasolina|gas[óo]leo|queros[ée]n|(?:garrafas?|bombonas?|botellas?|cartuchos?) de (?:gas|camping|butano|propano)|encendedor(?:e)?|cerilla|f[óo]sforo|fuegos artificiales|munici[óo]n|lej[íi]a|fertilizante|pesticida|extintor(?:e)?|pots? de peinture|vernis|diluant|solvant|gazole|k[ée]ros[èe]ne|(?:bouteilles?|cartouches?) de gaz|briquet|allumette|feux d.artifice|eau de javel|engrais|extincteur|batterien?|akku|farbdosen?|lackdosen?|verd[üu]nner|l[öo]sungsmittel|benzin|gasflaschen?|gaskartuschen?|feuerzeuge?|streichh[öo]lzer|feuerwerk|d[üu]nger|feuerl[öo]scher|spraydosen?)s?(?!\p{L})/iu

/** Does the name of a thing hint at goods that carriers treat as dangerous? */
export const readsAsDangerous = (text: string): boolean => HAZARD_WORDS.test(text)

/** What of the goods and vehicles the carrier, customs or quarantine may ask about. */
export function goodsWarnings(plan: Plan): PlanWarning[] {
  const { lines, vehicles } = plan.shipment
  const out: PlanWarning[] = []
  const hazards = lines.filter((l) => readsAsDangerous(`${l.item} ${l.note ?? ''}`))
  if (hazards.length > 0) {
    out.push(
      warning(
        'stowage',
        'care',
        says`These lines read as if they might be or hold dangerous goods: ${named(hazards, 8)}. Undeclared dangerous goods are an offence and a fire risk. Ask the carrier before packing; leave them out unless it accepts them in writing.`,
      ),
    )
  }
  const watched = lines.filter((l) => l.material.some((material) => WATCHED_MATERIALS.has(material)))
  if (watched.length > 0) {
    out.push(
      warning(
        'duty',
        'care',
        says`Plant, animal or species law may ask about the material of ${named(watched, 8)}. Customs and the quarantine service of the destination decide; permits can take months.`,
      ),
    )
  }
  for (const vehicle of vehicles) {
    const electric = vehicle.powertrain === 'electric' || vehicle.powertrain === 'hybrid'
    if (vehicle.powertrain === 'none') continue
    out.push(
      warning(
        'stowage',
        'care',
        electric
          ? says`${vehicle.label}: a vehicle with a traction battery travels under the carrier's rules for dangerous goods, with a limit on its charge. Some carriers refuse it beside household goods.`
          : says`${vehicle.label}: a vehicle with fuel and a battery can count as dangerous goods. Agree the tank level, the battery and the lashing with the carrier before loading, and have it secured by someone competent.`,
        `vehicle.${vehicle.vehicle}.mass`,
      ),
    )
  }
  return out
}

/** A piano on stairs is the one thing that a crew may refuse at the door, and it is not seen from a list. */
export function stairsWarnings(move: Move, plan: Plan): PlanWarning[] {
  const pianos = plan.shipment.lines.filter((line) => line.class === 'piano')
  if (pianos.length === 0 || (providers(move, plan).get('hoist') ?? 'none') !== 'none') return []
  const { origin_floor, origin_lift, destination_floor, destination_lift } = plan.household.facts
  return [
    ...(origin_floor.gt(0) && !origin_lift
      ? [
          warning(
            'stowage',
            'care',
            says`${named(pianos)}: down the stairs from floor ${String(origin_floor)} of the old home. A crew refuses what it cannot carry safely; have the stairs measured. An outside lift is not in the total.`,
            'hoist.hours',
          ),
        ]
      : []),
    ...(destination_floor.gt(0) && !destination_lift
      ? [
          warning(
            'stowage',
            'care',
            says`${named(pianos)}: up the stairs to floor ${String(destination_floor)} of the new home. A crew refuses what it cannot carry safely; have the stairs measured. An outside lift is not in the total.`,
            'hoist.hours',
          ),
        ]
      : []),
  ]
}
