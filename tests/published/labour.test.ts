import { crewForTheDay } from '../../src/cost/crew.js'
import { accessFactor, crewBill, crewHours, waitingHours } from '../../src/cost/labour.js'
import { escalated, moversLabourCost } from '../../src/cost/movers-hour.js'
import { packingHours } from '../../src/cost/packing-work.js'
import { hiredByTheDay, sharedHours } from '../../src/cost/team.js'
import type { Num } from '../../src/quantity/index.js'
import { type Case, figure, type Of, published } from './cases.js'

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

const everybody = { kind: 'labour cost', who: 'whole economy' } as const
const shares = <N>(of: Of<N>) => ({ employer: of('1.35'), movers: of('0.6'), billing: of('1.45') })
const crewOffers = <N extends Num<N>>(of: Of<N>) =>
  [2, 3, 4, 5].map((size) => ({
    size,
    hours: crewHours(of(9000), of(figure(`labour.loading.lb-per-hour.crew${size}`)), of(1)),
  }))

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
    title: 'labour cost of a mover in Germany: 43.4 of the whole economy, 0.6 of it in removals',
    gives: '26.04',
    source: 'Eurostat 2024 labour cost (looked up); 0.6 by US wages of 2022; by hand',
    by: (_, of) => moversLabourCost(of('43.4'), everybody, shares(of)),
    never: { '35.15': 'the employer’s share added to labour cost again' },
  },
  {
    title: 'labour cost of a mover in the United States: a wage of movers of 18.03',
    gives: '24.34',
    source: 'US BLS 53-7062 May 2022 mean wage 18.03; 1.35 common practice; by hand',
    by: (_, of) => moversLabourCost(of('18.03'), { kind: 'wage', who: 'movers' }, shares(of)),
    never: { '14.60': 'a mover’s wage brought down as if it were everybody’s' },
  },
  {
    title: 'a wage of 18.03 of 2022 in the money of 2027 at 0.04 a year',
    gives: '21.94',
    source: 'by hand: 18.03 × 1.04⁵',
    by: (m, of) => escalated(m, of('18.03'), of('0.04'), 5),
    never: { '21.64': 'growth added and not compounded' },
  },
  {
    title: 'packing 210 cartons at 6 an hour and wrapping 36 m³ at 3 an hour',
    gives: '47',
    source: 'common practice, no source: 5 to 7 mixed cartons an hour; by hand 35 + 12',
    by: (_, of) => packingHours(of(210), of(36), { cartonsPerHour: of(6), wrappedM3PerHour: of(3) }),
    never: { 81: 'cartons and furniture by one rate for everything' },
  },
  {
    title: 'crew for 9 000 lb in a day of 8 h: four people and not three, who need 9 h',
    gives: '7.5',
    source: article,
    by: (m, of) => crewForTheDay(m, crewOffers(of), of(8)).hours,
    never: { '9.0': 'the crew did not grow' },
  },
  {
    title: 'people of that crew',
    gives: '4',
    source: article,
    by: (m, of) => crewForTheDay(m, crewOffers(of), of(8)).people,
  },
  {
    title: 'two of the family at 0.6 and two friends at 0.5 on 36 h of work for one',
    gives: '16.36',
    source: 'by hand: 36 ÷ 2.2',
    by: (m, of) =>
      sharedHours(m, of(36), [
        { people: of(2), pace: of('0.6') },
        { people: of(2), pace: of('0.5') },
      ]),
    never: { '30.00': 'the friends changed nothing' },
  },
  {
    title: 'three hired hands for 10 h at 20 an hour: two days of 8 h each',
    gives: '960',
    source: 'common practice, no source: hired by the day; by hand',
    by: (m, of) => hiredByTheDay(m, of(3), of(10), of(8), of(20)),
    never: { 600: 'a day begun is not paid' },
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
