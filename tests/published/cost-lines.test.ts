import { leastCharge } from '../../src/cost/access-charges.js'
import { containerStands, lorryWaits, smallTrucks } from '../../src/cost/door.js'
import { employerGives } from '../../src/cost/employer.js'
import { priceForVolume, splitBundle } from '../../src/cost/quote.js'
import { published } from './cases.js'

const tariff = 'destination terms of a household-goods agent in Los Angeles, undated (secondary)'

published('least amounts', [
  {
    title: 'nothing asked for',
    gives: '0.00',
    source: 'by hand: nothing asked for costs nothing',
    by: (m, of) => leastCharge(m, of(0), of('0.75'), of(350)),
    never: { '350.00': 'least amount without any shuttle' },
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
    title: 'chassis for 3 days at 55, least 200',
    gives: '200.00',
    source: `${tariff}: 165.00 raised to the least`,
    by: (m, of) => leastCharge(m, of(3), of(55), of(200)),
  },
])

published('the container at the door', [
  {
    title: 'two containers loaded in 11 h, 3 h free each, 100 an hour',
    gives: '500',
    source: 'common practice, no source: 3 hours free, then about 100 an hour; by hand 2.5 × 2 × 100',
    by: (m, of) => lorryWaits(m, of(11), of(2), of(3), of(100)),
    never: { 800: 'free hours once for both', 1100: 'free hours forgotten' },
  },
  {
    title: 'one container left for two days: second haul 275, chassis 55 a day',
    gives: '385',
    source: `${tariff}: chassis 55 a day; haul common practice, no source`,
    by: (_, of) => containerStands(of(1), of(275), of(2), of(55)),
  },
  {
    title: 'small trucks for 5 m³ at 26.486, least 350, no crew',
    gives: '350.00',
    source: `${tariff}: 132.43 raised to the least`,
    by: (m, of) => smallTrucks(m, of(5), of('26.486'), of(350), of('0.3'), of(0)),
    never: { '132.43': 'least charge forgotten' },
  },
  {
    title: 'small trucks for 20 m³ and a crew of 1 000, handled again at 0.3',
    gives: '829.72',
    source: `${tariff}; second handling common practice, no source`,
    by: (m, of) => smallTrucks(m, of(20), of('26.486'), of(350), of('0.3'), of(1000)),
  },
])

published('money from an employer, and quotes', [
  {
    title: 'a bill of 9 000, a lump sum of 2 000, half of the bill up to 3 000',
    gives: '5000',
    source: 'by hand: 2 000 + the cap',
    by: (m, of) => employerGives(m, of(9000), { lumpSum: of(2000), share: of('0.5'), cap: of(3000) }),
    never: { 6500: 'the cap forgotten' },
  },
  {
    title: 'a bundle of 9 000 over services the model puts at 2 000 and 4 000: the first part',
    gives: '3000',
    source: 'by hand: 9 000 × 2 ÷ 6',
    by: (m, of) => splitBundle(m, of(9000), [of(2000), of(4000)])[0] ?? of(0),
    never: { 4500: 'split evenly' },
  },
  {
    title: 'a bundle of services the model has no price for: split evenly',
    gives: '300',
    source: 'by hand',
    by: (m, of) => splitBundle(m, of(600), [of(0), of(0)])[1] ?? of(0),
  },
  {
    title: 'a quote of 3 000 for 40 m³ brought to 60 m³',
    gives: '4500',
    source: 'by hand',
    by: (_, of) => priceForVolume(of(3000), of(40), of(60)),
  },
])
