import type { Place, Row } from '../csv.js'
import type { InventoryLine, inventoryColumns } from '../household-columns.js'
import type { Problem } from '../problem.js'
import type { Reference } from '../reference.js'

type ListedLine = Row<typeof inventoryColumns>

/**
 * The lines of an inventory with what a row leaves blank taken from the item table: goods class and packing from its
 * item_code, and `ship` where nothing is said of where it goes.
 *
 * @returns every line; and a problem for each blank cell that no item fills, whose line then holds the class `other`
 * or the packing `none` so that later checks go on
 */
export function filledFromItems(
  lines: readonly ListedLine[],
  items: Reference['items'],
): { inventory: (InventoryLine & { readonly place: Place })[]; problems: Problem[] } {
  const byCode = new Map(items.map((item) => [item.id, item]))
  const problems: Problem[] = []
  const inventory = lines.map((line) => {
    const item = line.item_code === undefined ? undefined : byCode.get(line.item_code)
    const missing = (column: 'class' | 'packing', expected: string, example: string) => {
      // A code that no item has is told of by itself, and puts this right with it.
      if (line[column] !== undefined || line.item_code !== undefined) return
      const fix = `Write it, as in ${example}, or give the item_code of the thing.`
      problems.push({ ...line.place, column, found: '', expected, fix })
    }
    missing('class', 'a goods class of classes.csv where no item_code gives one', 'furniture')
    missing('packing', 'none, wrapped, crated or a carton where no item_code gives it', 'medium')
    return {
      ...line,
      class: line.class ?? item?.class ?? 'other',
      packing: line.packing ?? item?.packing ?? 'none',
      take: line.take ?? 'ship',
    }
  })
  return { inventory, problems }
}
