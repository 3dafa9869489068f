import {
  leastCharge,
  leastQuantityCharge,
  longCarryCharge,
  stairCharge,
} from '../../src/cost/access-charges.js'
import { figure, published } from './cases.js'

const tariff = 'a published US destination agent tariff'

published('stairs, long carry, shuttle and least amounts', [
  {
    title: '120 ft³ up 2 flights at 0.45, least 75',
    gives: '108.00',
    source: tariff,
    by: (m, of) => stairCharge(m, of(120), of(2), { perVolume: of('0.45'), minimum: of(75) }),
    never: { '150.00': 'the least amount for each flight' },
  },
  {
    title: '60 ft³ up 1 flight',
    gives: '75.00',
    source: `${tariff}: 27.00 raised to the least`,
    by: (m, of) => stairCharge(m, of(60), of(1), { perVolume: of('0.45'), minimum: of(75) }),
    never: { '27.00': 'least amount forgotten', '102.00': 'least amount added' },
  },
  {
    title: 'no flight',
    gives: '0.00',
    source: 'by hand: nothing asked for costs nothing',
    by: (m, of) => stairCharge(m, of(60), of(0), { perVolume: of('0.45'), minimum: of(75) }),
    never: { '75.00': 'least amount without any stairs' },
  },
  {
    title: 'shuttle of 500 ft³ at 0.75, least 350',
    gives: '375.00',
    source: tariff,
    by: (m, of) => leastCharge(m, of(500), of('0.75'), of(350)),
  },
  {
    title: 'shuttle of 400 ft³',
    gives: '350.00',
    source: `${tariff}: 300.00 raised to the least`,
    by: (m, of) => leastCharge(m, of(400), of('0.75'), of(350)),
    never: { '300.00': 'least amount forgotten' },
  },
  {
    title: 'unpacking 80 ft³ at 0.75, at least 100 ft³',
    gives: '75.00',
    source: tariff,
    by: (m, of) => leastQuantityCharge(m, of(80), of('0.75'), of(100)),
    never: { '60.00': 'least volume forgotten', '100.00': 'a least amount of money, not of volume' },
  },
  {
    title: 'chassis for 3 days at 55, least 200',
    gives: '200.00',
    source: `${tariff}: 165.00 raised to the least`,
    by: (m, of) => leastCharge(m, of(3), of(55), of(figure('chassis.minimum'))),
  },
  {
    title: '300 ft³ carried 200 ft at 0.45 for each started 75 ft beyond 75',
    gives: '270.00',
    source: `${tariff}; started steps assumed`,
    by: (m, of) =>
      longCarryCharge(
        m,
        of(300),
        of(200),
        { free: of(75), step: of(75) },
        { perVolume: of('0.45'), minimum: of(75) },
      ),
    never: { '225.00': '125 ÷ 75 not rounded up', '405.00': 'the free 75 ft charged too' },
  },
  {
    title: '300 ft³ carried 75 ft',
    gives: '0.00',
    source: 'by hand: within the free distance',
    by: (m, of) =>
      longCarryCharge(
        m,
        of(300),
        of(75),
        { free: of(75), step: of(75) },
        { perVolume: of('0.45'), minimum: of(75) },
      ),
  },
])
