import { accessFactor, billedHour, crewBill, crewHours, waitingHours } from '../../src/cost/labour.js'
import { type Case, figure, published } from './cases.js'

const article = 'published trade article on crew and packer output'
const crews: readonly Case[] = (
  [
    ['1', '17.5', '17.5'],
    ['2', '10.0', '20.0'],
    ['3', '7.0', '21.0'],
    ['5', '5.0', '25.0'],
  ] as const
).flatMap(([crew, hours, personHours]): Case[] => [
  {
    title: `hours of a crew of ${crew} for 7 000 lb`,
    gives: hours,
    source: article,
    by: (_, of) => crewHours(of(7000), of(figure(`labour.loading.lb-per-hour.crew${crew}`)), of(1)),
  },
  {
    title: `person-hours of a crew of ${crew} for 7 000 lb`,
    gives: personHours,
    source: article,
    by: (m, of) =>
      crewBill(
        m,
        crewHours(of(7000), of(figure(`labour.loading.lb-per-hour.crew${crew}`)), of(1)),
        of(0),
        of(crew),
        of(1),
      ),
  },
])

published('labour', [
  ...crews,
  {
    title: 'wages of a crew of 3 for 7 000 lb',
    gives: '378.63',
    source: `${article}; US BLS 53-7062 May 2022 mean wage 18.03`,
    by: (m, of) => crewBill(m, crewHours(of(7000), of(1000), of(1)), of(3), of(3), of('18.03')),
    never: { '126.21': 'crew left out' },
  },
  {
    title: 'wages of a crew of 5 for 7 000 lb: faster and dearer',
    gives: '450.75',
    source: `${article}; US BLS 53-7062 May 2022`,
    by: (m, of) => crewBill(m, crewHours(of(7000), of(1400), of(1)), of(3), of(5), of('18.03')),
  },
  {
    title: 'packer-hours for 400 ft³',
    gives: '20',
    source: article,
    by: (_, of) => crewHours(of(400), of(figure('labour.packing.ft3-per-person-hour')), of(1)),
  },
  {
    title: 'm³ an hour by a crew of 3 at 7 lb/ft³',
    gives: '4.05',
    source: `${article}, by hand: 1 000 ÷ 7 ft³`,
    by: (_, of) => of(1000).div(of(7)).times(of('0.028316846592')),
  },
  {
    title: 'billed hour in Germany: 43.4 of labour cost, 0.65 of it in removals, 1.7 for overhead',
    gives: '47.96',
    source: 'Eurostat 2024 labour cost (looked up); both factors common practice, no source; by hand',
    by: (_, of) => billedHour(of('43.4'), of('0.65'), of('1.7')),
    never: {
      '28.21': 'overhead, truck and margin left out',
      '64.74': 'the employer’s share added to labour cost again',
    },
  },
  {
    title: 'two floors at 0.175 without a lift, carry within the free 25 m',
    gives: '1.35',
    source: 'common practice, no source',
    by: (m, of) =>
      accessFactor(
        m,
        {
          floors: of(2),
          floorSurcharge: of('0.175'),
          liftSurcharge: of('0.225'),
          carryM: of(20),
          carryFreeM: of(25),
          carryStepM: of('17.5'),
          carrySurcharge: of('0.175'),
        },
        false,
      ),
  },
  {
    title: 'six floors with a lift, 60 m carried: a lift counts once, two steps started',
    gives: '1.575',
    source: 'common practice, no source; by hand 1 + 0.225 + 2 × 0.175',
    by: (m, of) =>
      accessFactor(
        m,
        {
          floors: of(6),
          floorSurcharge: of('0.175'),
          liftSurcharge: of('0.225'),
          carryM: of(60),
          carryFreeM: of(25),
          carryStepM: of('17.5'),
          carrySurcharge: of('0.175'),
        },
        true,
      ),
    never: { '2.400': 'the stairs counted beside the lift' },
  },
  {
    title: 'one hour of work of a crew of 2 at 30, least 3 hours',
    gives: '180',
    source: 'common practice, no source: 2 to 4 hours at least',
    by: (m, of) => crewBill(m, of(1), of(3), of(2), of(30)),
    never: { 60: 'below the least hours' },
  },
  {
    title: 'no work for that crew',
    gives: '0',
    source: 'by hand',
    by: (m, of) => crewBill(m, of(0), of(3), of(2), of(30)),
  },
  {
    title: 'hours waited where loading takes 5 and 3 are free',
    gives: '2',
    source: 'published destination terms: 3 free hours',
    by: (m, of) => waitingHours(m, of(5), of(3)),
  },
  {
    title: 'the same where it takes 2',
    gives: '0',
    source: 'the same terms',
    by: (m, of) => waitingHours(m, of(2), of(3)),
  },
])
