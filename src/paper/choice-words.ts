// The words of a household's files as people say them, wherever a page offers them.

const WORDS: Readonly<Record<string, string>> = {
  cheapest: 'the cheapest that holds everything',
  '22G1': '20 foot container (22G1)',
  '42G1': '40 foot container (42G1)',
  '45G1': '40 foot high container (45G1)',
  L5G1: '45 foot high container (L5G1)',
  groupage: 'a share of a container (groupage)',
  '45G1+groupage': '40 foot high container and a share of another',
  '22G1+groupage': '20 foot container and a share of another',
  '42G1+groupage': '40 foot container and a share of another',
  'L5G1+groupage': '45 foot high container and a share of another',
  advised: 'the cheapest you can bear (advised)',
  diy: 'we do it ourselves',
  part: 'we pack, movers carry (part service)',
  full: 'movers do it all (full service)',
  own: 'as we say service by service',
  'by level': 'as the line “Who does the work” says',
  mover: 'mover',
  self: 'ourselves',
  friends: 'friends',
  hired: 'hands hired by the day',
  employer: 'employer',
  none: 'none',
  'total-loss': 'total loss only',
  'named-narrow': 'named perils, narrow',
  'named-wide': 'named perils, wide',
  'all-risks': 'all risks',
  ship: 'ship it',
  leave: 'leave it behind',
}

/** A word of the files as people say it. */
export const choiceWords = (word: string): string => WORDS[word] ?? word
