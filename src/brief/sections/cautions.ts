import type { Section } from '../../paper/blocks.js'
import type { Words } from '../../paper/words.js'

/** What can hurt someone or cost dear, and whom to ask. Local law and licensed practice come first throughout. */
export const cautionsSection = ({ line }: Pick<Words, 'line'>): Section => ({
  id: 'cautions',
  title: line`Cautions at length`,
  blocks: [
    {
      kind: 'paragraph',
      text: [
        line`This brief is for planning. Where it touches the points below, local law, the carrier’s written terms and the advice of a licensed professional come first.`,
      ],
    },
    {
      kind: 'list',
      items: [
        [
          line`Lifting and carrying: stairs, pianos, safes and appliances injure backs and crush hands. Leave heavy pieces to trained people with the right gear, keep children away from the work, and stop when tired. Outside lifts and cranes need a licensed operator.`,
        ],
        [
          line`Stowing and lashing: a container rolls, pitches and brakes. Goods that can shift can burst the door open when it is unlocked. Have the load planned, braced and lashed by someone competent; open one leaf at a time and stand aside. The shipper answers for the verified gross mass.`,
        ],
        [
          line`Vehicles: fuel vapour, batteries and loose lashings cause fires and crush injuries. Follow the carrier’s rules for tank level, battery and declaration, and let a competent person secure the vehicle. Traction batteries have rules of their own.`,
        ],
        [
          line`Dangerous goods: paint, solvents, gas, aerosols, lithium batteries, ammunition and many cleaning agents may not travel with household goods unless the carrier accepts them in writing. An undeclared parcel endangers the crew and is an offence.`,
        ],
        [
          line`Treated containers: after fumigation the air inside can kill. Nobody enters before it is ventilated and declared free of gas by a qualified person.`,
        ],
        [
          line`Customs: only the customs authority grants relief, and rules change. Confirm status, dates, lists, rates and permits with the authority or a licensed broker before anything is packed. A false value or a missing line can cost the whole relief.`,
        ],
        [
          line`Cover: the policy or certificate decides, not a summary. Ask in writing about cartons you packed yourselves, pairs and sets, mould, storage, general average, and how soon damage must be reported. Insurance advice is a licensed trade in most countries.`,
        ],
        [
          line`Offers: a price for each cubic metre says little without the volume it is based on. Ask every mover for the volume, what is left out, the free days, and who pays when the volume turns out larger.`,
        ],
      ],
    },
  ],
})

/** How any figure of the brief is followed back to its inputs. */
export const traceSection = (words: Words): Section => ({
  id: 'trace',
  title: words.say('annex.trace'),
  blocks: [
    {
      kind: 'paragraph',
      text: words.text`Every figure is a named cell of the plan. Its name stands in small print beside it in the analyst’s copy. The command ${'quaybook explain ID'} prints the formula behind a cell and follows it down to the inputs, each with its source. The file brief.json beside this one holds every cell of every scenario with value, unit and range, for other programs.`,
    },
  ],
})
