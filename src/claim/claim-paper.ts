import type { PaperData, Section, Sender, TableRow } from '../paper/blocks.js'
import { cell } from '../paper/blocks.js'
import { amount, day, says } from '../paper/sentence.js'
import type { Words } from '../paper/words.js'
import type { Move, Plan } from '../plan/move.js'
import { DOCUMENTS, type NoticeDue, noticesDue } from './notices.js'
import type { Settlement } from './settlement.js'

/** What a claim is written from. */
export interface ClaimFacts {
  /** Day of delivery, ISO date. */
  readonly delivered: string
  readonly claimed: Settlement
  readonly sender?: Sender
}

/**
 * The claim as a paper to print, sign and send to the insurer: what is claimed by carton, what the cover answers for,
 * average and deductible, by when whom to tell, and the documents that go with it. What is due the insurer says.
 */
export function claimPaper(
  move: Move,
  plan: Plan,
  words: Words,
  { delivered, claimed, sender }: ClaimFacts,
): PaperData {
  const { line, locale } = words
  const { facts } = plan.household
  return {
    kind: line`Claim under the transit cover`,
    household: facts.name,
    from: locale.place(facts.origin_place, facts.origin_country),
    to: locale.place(facts.destination_place, facts.destination_country),
    stated: [
      line`Delivered ${day(delivered)}. Amounts in ${facts.currency}.`,
      ...(facts.container_numbers.length > 0
        ? [line`Container ${locale.list(facts.container_numbers)}.`]
        : []),
    ].join(' '),
    recommended: plan.name,
    ...(sender ? { sender } : {}),
    sections: [
      thingsSection(move, words, facts.currency, claimed),
      noticeSection(words, noticesDue(move, plan, delivered)),
      {
        id: 'documents',
        title: line`Documents with the claim`,
        blocks: [
          { kind: 'list', items: DOCUMENTS.map((text) => [words.phrase(text)]) },
          {
            kind: 'paragraph',
            text: [
              line`Day ____________ place ____________________ signature of the insured ____________________`,
            ],
          },
        ],
      },
    ],
  }
}

function thingsSection(move: Move, words: Words, currency: string, claimed: Settlement): Section {
  const { line, locale } = words
  const money = (value: Settlement['loss']) => locale.number(value, 2)
  const cover = move.reference.covers.find(({ id }) => id === claimed.cover)
  const label = words.label(`cover.${claimed.cover}`, cover?.label ?? 'No cover')
  const total = (name: string, value: Settlement['loss']): TableRow => ({
    kind: 'total',
    cells: [cell(name), cell(''), cell(''), cell(''), cell(''), cell(money(value))],
  })
  return {
    id: 'claim',
    title: line`What is claimed`,
    blocks: [
      {
        kind: 'paragraph',
        lead: true,
        text: [
          line`Claim under “${label}”: loss ${amount(claimed.loss, currency, 2)}, of which the cover answers for ${amount(claimed.answeredLoss, currency, 2)}. Average leaves ${amount(claimed.average, '1', 1)}; the deductible is ${amount(claimed.deductible, currency, 2)}. Expected: ${amount(claimed.expected, currency, 2)}. What is due is for the insurer and the policy to say.`,
        ],
      },
      {
        kind: 'table',
        caption: line`Things lost and damaged, ${currency}`,
        columns: [
          { label: line`Carton` },
          { label: line`What` },
          { label: line`Finding` },
          { label: line`On the delivery note` },
          { label: line`Answered for` },
          { label: line`Loss`, numeric: true },
        ],
        rows: [
          ...claimed.things.map(({ row, label: name, loss, answered, why }) => ({
            cells: [
              cell(row.carton ?? '\u2013'),
              cell(`${row.line} ${name}`),
              cell(words.phrase(row.what)),
              cell(row.noted === 'yes' || row.seen === 'on unpacking' ? line`yes` : line`no`),
              { text: [answered ? line`yes` : line`no`], small: reason(words, why) },
              cell(money(loss)),
            ],
          })),
          total(line`Loss, together`, claimed.loss),
          total(line`Expected from the insurer`, claimed.expected),
        ],
      },
    ],
  }
}

/** Why the cover answers or not, part by part: a cause of perils.csv, its word under the cover, and a doubt. */
const reason = ({ phrase }: Words, why: string): string =>
  why
    .split('; ')
    .map((part) => part.split(': ').map(phrase).join(': '))
    .join('; ')

const noticeSection = (words: Words, notices: readonly NoticeDue[]): Section => {
  const { line, phrase, tell } = words
  const on = (iso: string) => tell(says`${day(iso)}`).replaceAll(' ', '\u00a0')
  return {
    id: 'notices',
    title: line`Whom to tell, and by when`,
    blocks: [
      {
        kind: 'paragraph',
        text: [
          line`Tell each of them in writing. Which rule holds is for the contract and the law of the place, so keep the earliest day.`,
        ],
      },
      {
        kind: 'table',
        caption: line`Notice of loss or damage`,
        columns: [
          { label: line`Against` },
          { label: line`Rule` },
          { label: line`Damage that shows` },
          { label: line`Hidden damage` },
          { label: line`Action by` },
          { label: line`If missed` },
        ],
        rows: notices.map((due) => ({
          cells: [
            cell(phrase(due.against)),
            { text: [phrase(due.label)], small: `${due.source} (${phrase(due.confirmed)})` },
            cell(on(due.apparent)),
            cell(on(due.hidden)),
            cell(due.suit === undefined ? line`by the policy` : on(due.suit)),
            cell(phrase(due.ifMissed)),
          ],
        })),
      },
    ],
  }
}
