import type { Section } from '../../paper/blocks.js'

/** What can hurt someone or cost dear, and whom to ask. Local law and licensed practice come first throughout. */
export const cautionsSection = (): Section => ({
  id: 'cautions',
  title: 'Before anyone lifts, loads or signs',
  blocks: [
    {
      kind: 'paragraph',
      text: [
        'This brief is for planning. Where it touches the points below, local law, the carrier’s written terms and the advice of a licensed professional come first.',
      ],
    },
    {
      kind: 'list',
      items: [
        [
          'Lifting and carrying: stairs, pianos, safes and appliances injure backs and crush hands. Leave heavy pieces to trained people with the right gear, keep children away from the work, and stop when tired. Outside lifts and cranes need a licensed operator.',
        ],
        [
          'Stowing and lashing: a container rolls, pitches and brakes. Goods that can shift can burst the door open when it is unlocked. Have the load planned, braced and lashed by someone competent; open one leaf at a time and stand aside. The shipper answers for the verified gross mass.',
        ],
        [
          'Vehicles: fuel vapour, batteries and loose lashings cause fires and crush injuries. Follow the carrier’s rules for tank level, battery and declaration, and let a competent person secure the vehicle. Traction batteries have rules of their own.',
        ],
        [
          'Dangerous goods: paint, solvents, gas, aerosols, lithium batteries, ammunition and many cleaning agents may not travel with household goods unless the carrier accepts them in writing. An undeclared parcel endangers the crew and is an offence.',
        ],
        [
          'Treated containers: after fumigation the air inside can kill. Nobody enters before it is ventilated and declared free of gas by a qualified person.',
        ],
        [
          'Customs: only the customs authority grants relief, and rules change. Confirm status, dates, lists, rates and permits with the authority or a licensed broker before anything is packed. A false value or a missing line can cost the whole relief.',
        ],
        [
          'Cover: the policy or certificate decides, not a summary. Ask in writing about cartons you packed yourselves, pairs and sets, mould, storage, general average, and how soon damage must be reported. Insurance advice is a licensed trade in most countries.',
        ],
        [
          'Offers: a price for each cubic metre says little without the volume it is based on. Ask every mover for the volume, what is left out, the free days, and who pays when the volume turns out larger.',
        ],
      ],
    },
  ],
})

/** How any figure of the brief is followed back to its inputs. */
export const traceSection = (): Section => ({
  id: 'trace',
  title: 'Where a figure comes from',
  blocks: [
    {
      kind: 'paragraph',
      text: [
        'Every figure is a named cell of the plan. Its name stands in small print beside it, or shows when the pointer rests on it. The command ',
        'quaybook explain ID',
        ' prints the formula behind a cell and follows it down to the inputs, each with its source. The file brief.json beside this one holds every cell of every scenario with value, unit and range, for other programs.',
      ],
    },
  ],
})
