import type { Move, Plan } from '../../src/plan/index.js'

/** Words that only English has, short and common enough that hardly an English sentence is without one. */
export const ENGLISH =
  /\b(the|and|with|of|from|which|must|before|after|are|your|by|is|for|to|on|without|that)\b/i

/** Forms of an authority keep the name that is printed on them. */
const FORMS = ['Declaration of Facts']

/** The texts of a page as a reader meets them: between two tags, and in the words read aloud for pictures. */
export function texts(html: string): string[] {
  const body = html.replace(/<style>[\s\S]*?<\/style>|<script[\s\S]*?<\/script>/g, '')
  const alts = [...body.matchAll(/(?:alt|aria-label)="([^"]*)"/g)].map(([, alt = '']) => alt)
  return [...body.replace(/<[^>]+>/g, '\n').split('\n'), ...alts]
    .map((text) => text.replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code))).trim())
    .filter((text) => /\p{L}{2}/u.test(text))
}

/** What the household wrote itself, longest first: it stays as it is in every language. */
export function ownWords({ household }: Move, plans: readonly Plan[]): string[] {
  const { facts, inventory, vehicles, people, quotes } = household
  return [
    facts.name,
    facts.origin_place,
    facts.destination_place,
    ...plans.map(({ name }) => name),
    ...inventory.flatMap(({ item, room }) => [item, room]),
    ...vehicles.map(({ label }) => label),
    ...people.map(({ person }) => person),
    ...quotes.map(({ quote }) => quote),
    ...FORMS,
    'High Cube',
    'high cube',
    'High-Cube',
  ]
    .filter((words) => words.length > 2)
    .sort((a, b) => b.length - a.length)
}
