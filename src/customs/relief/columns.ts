/** relief.csv: the routes to relief, and what each asks of the person and of the thing. */
import { z } from 'zod'
import type { Row } from '../../tables/csv.js'
import { code, count, number, oneOf, optional, someOf, yesNo } from '../../tables/fields.js'
import { HELD, STATUSES } from '../../tables/household-columns.js'
import { dated, id, KINDS, LEVIES, maybe, provenance, share, words } from '../shared-columns.js'

/**
 * The days from which laws count. `ship` is the day the goods are handed over, if that is before leaving; `abroad`
 * the day on which living abroad began.
 */
export const ANCHORS = [
  'abroad',
  'leave',
  'ship',
  'arrive',
  'first-arrival',
  'import',
  'wedding',
  'inheritance',
] as const
export type Anchor = (typeof ANCHORS)[number]

/**
 * A length the law may set. `none`: the law has no such test. `none-found`: the sources read give no figure,
 * so the test is left out and said to be. `unknown`: there is a figure, and we do not have it.
 */
export type Length = number | 'none' | 'none-found' | 'unknown'

/** A time the law asks for: at least so many months, or more than so many (`over`). */
export interface Span {
  readonly months: number
  readonly over: boolean
}

/** The same where a law asks for it, or what else a cell may say; see `Length`. */
export type LeastTime = Span | 'none' | 'none-found' | 'unknown'

const length = (description: string) =>
  z
    .string()
    .transform((cell, ctx): Length => {
      if (cell === '') return 'none'
      if (cell === 'unknown' || cell === 'none-found') return cell
      if (/^\d{1,4}$/.test(cell)) return Number(cell)
      const message = `${description}: a whole number, blank, none-found or unknown`
      ctx.issues.push({ code: 'custom', input: cell, message, params: { fix: 'Write for example 12.' } })
      return z.NEVER
    })
    .meta({ description, example: '12', required: false, kind: 'text' })

const leastTime = (description: string) =>
  z
    .string()
    .transform((cell, ctx): LeastTime => {
      if (cell === '') return 'none'
      if (cell === 'unknown' || cell === 'none-found') return cell
      const [, over, months] = /^(over )?(\d{1,4})$/.exec(cell) ?? []
      if (months !== undefined) return { months: Number(months), over: over !== undefined }
      const message = `${description}: a whole number for at least so many, "over" before it for more than so many, blank, none-found or unknown`
      ctx.issues.push({
        code: 'custom',
        input: cell,
        message,
        params: { fix: 'Write for example 12, or over 12.' },
      })
      return z.NEVER
    })
    .meta({ description, example: '12', required: false, kind: 'text' })

const anchor = (description: string) => optional(oneOf(ANCHORS, { description, example: 'leave' }))

export const reliefColumns = z.object({
  id: id('name of the route to relief', 'eu.transfer-of-residence'),
  jurisdiction: id('row of jurisdictions.csv, or any', 'eu'),
  label: id('what the law calls it', 'transfer of residence'),
  effect: oneOf(['free', 'temporary', 'none'], {
    description: 'free, temporary where the goods must leave again, or none where the law rules relief out',
    example: 'free',
  }),
  kinds: someOf(KINDS, { description: 'what the row is about', example: 'goods|car' }),
  only: words('only these classes and groups; blank: all', 'clothing|jewellery'),
  statuses: someOf(STATUSES, {
    description: 'in what capacity the person moves',
    example: 'settler|returning',
  }),
  frees: someOf(LEVIES, { description: 'the levies it frees from', example: 'duty|tax' }),
  ...dated,
  national: optional(oneOf(['yes', 'no'], { description: 'must the person be a national', example: 'no' })),
  adult_only: yesNo({ description: 'only for adults', example: 'no' }),
  first_time: yesNo({ description: 'only the first time the person comes to live there', example: 'no' }),
  again_months: length('months after an earlier relief before the next'),
  permit_months: leastTime('months the permit must run'),
  stay_months: leastTime('months the person will stay, which serve instead of months abroad'),
  abroad_months: leastTime('months lived abroad'),
  abroad_under: length('the row ends where so many months abroad are reached'),
  abroad_to: anchor('the day to which months abroad are counted'),
  owned_months: leastTime('months of ownership and use'),
  owned_to: anchor('the day to which they are counted'),
  owned_early_to: anchor('the same where the goods enter before the day the window is counted from'),
  owned_how: oneOf(['continuous', 'total', 'pro-rata'], {
    description: 'in one stretch, added up, or short ownership charged by the day',
    example: 'continuous',
  }),
  owned_waived_abroad: leastTime('months abroad after which ownership is not tested'),
  acquired: optional(
    oneOf(['before-abroad'], {
      description: 'only things the person already had on moving abroad, taken along then',
      example: 'before-abroad',
    }),
  ),
  tax_free_months: length('months of ownership for goods that were bought free of tax under a privilege'),
  before: length('how long before the anchor goods may enter'),
  after: length('how long after the anchor goods may enter'),
  window_unit: oneOf(['day', 'month', 'year'], { description: 'unit of the window', example: 'month' }),
  window_from: anchor('the day the window is counted from'),
  roll: yesNo({
    description: 'does a period that ends on a weekend run on to the next working day',
    example: 'yes',
  }),
  no_disposal: length('months after import in which nothing may be sold, lent or hired out'),
  ceiling: oneOf(['none', 'per-item', 'per-item-limit', 'total', 'quantity-list', 'reasonable', 'unknown'], {
    description: 'kind of ceiling',
    example: 'none',
  }),
  ceiling_amount: optional(number({ description: 'amount of the ceiling', example: '10000', min: 0 })),
  ceiling_currency: optional(
    code(/^[A-Z]{3}$/, 'an ISO 4217 currency code', { description: 'its currency', example: 'CAD' }),
  ),
  ceiling_minor_share: optional(share('what a minor adds to the ceiling, as a share of an adult', '0.5')),
  excluded: words('classes and groups that are left out', 'alcohol|tobacco'),
  held_excluded: someOf(HELD, { description: 'ways of holding that are left out', example: 'business' }),
  used_only: yesNo({ description: 'only used goods', example: 'yes' }),
  listed: yesNo({ description: 'only goods on the list given at first arrival', example: 'no' }),
  max_age_years: optional(
    count({ description: 'only vehicles of this age or younger', example: '5', min: 0, max: 100 }),
  ),
  steering: optional(
    oneOf(['left', 'right'], { description: 'only vehicles steered on this side', example: 'right' }),
  ),
  min_euro: optional(
    count({
      description: 'only vehicles of this Euro emission class or better',
      example: '4',
      min: 0,
      max: 9,
    }),
  ),
  max_length_m: optional(number({ description: 'longest boat', example: '15', min: 0, max: 100, unit: 'm' })),
  waivable: someOf(['abroad', 'owned', 'window', 'residence'], {
    description: 'tests the authority may set aside',
    example: 'abroad',
  }),
  on_application: yesNo({ description: 'is relief granted only on application', example: 'no' }),
  discretion: maybe('when it may set them aside', 'where twelve months were clearly intended'),
  refusal: maybe('why, where the law rules relief out', 'second homes never qualify'),
  ...provenance,
})

export type ReliefRow = Row<typeof reliefColumns>
