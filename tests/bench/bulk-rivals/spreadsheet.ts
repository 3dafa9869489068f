import { HyperFormula } from 'hyperformula'
import type { Recorded } from '../../../src/quantity/index.js'

/** A general spreadsheet engine holding a plan: one cell for every cell and input, formulas as recorded. */
export class Spreadsheet {
  readonly #engine: HyperFormula
  readonly #rows = new Map<string, number>()
  readonly #sheet: number

  constructor(outputs: ReadonlyMap<string, Recorded>) {
    const lines: (string | number)[][] = []
    const at = new Map<Recorded, string>()
    const place = (name: string, node: Recorded, content: string | number): string => {
      lines.push([content])
      if (name !== '') this.#rows.set(name, lines.length - 1)
      at.set(node, `A${lines.length}`)
      return `A${lines.length}`
    }
    const inputs = new Map<string, string>()
    const shared = new Map<Recorded, number>()
    const seen = new Set<Recorded>()
    const count = (node: Recorded): void => {
      shared.set(node, (shared.get(node) ?? 0) + 1)
      if (seen.has(node)) return
      seen.add(node)
      node.args.forEach(count)
    }
    for (const node of outputs.values()) count(node)
    const ref = (node: Recorded): string => {
      const known = at.get(node)
      if (known !== undefined) return known
      const { operation } = node
      if (operation.kind === 'constant') return node.value.toString()
      if (operation.kind === 'input') {
        const { id } = operation.row
        const cell = inputs.get(id) ?? place(id, node, node.value.toNumber())
        inputs.set(id, cell)
        return cell
      }
      const text = formula(node)
      // A value used twice, a named one and a long one get a cell of their own, as in any tidy workbook.
      const own = operation.kind === 'cell' || (shared.get(node) ?? 0) > 1 || text.length > 400
      return own ? place(operation.kind === 'cell' ? operation.id : '', node, `=${text}`) : text
    }
    const formula = (node: Recorded): string => {
      const { operation } = node
      const args = node.args.map(ref)
      const [a = '0', b = '0', c = '0', d = '0'] = args
      switch (operation.kind) {
        case 'plus':
          return `(${a}+${b})`
        case 'minus':
          return `(${a}-${b})`
        case 'times':
          return `(${a}*${b})`
        case 'div':
          return `(${a}/${b})`
        case 'min':
        case 'max':
          return `${operation.kind.toUpperCase()}(${a},${b})`
        case 'ceil':
          return `ROUNDUP(${a},0)`
        case 'choose':
          return `IF(${a}>=${b},${c},${d})`
        case 'sum':
          return args.length === 0 ? '0' : `SUM(${args.join(',')})`
        case 'round':
          return `${operation.rule === 'down' ? 'ROUNDDOWN' : 'ROUND'}(${a},${operation.decimals})`
        default:
          return a
      }
    }
    for (const [id, node] of outputs) {
      const cell = ref(node)
      if (!this.#rows.has(id)) place(id, node, `=${cell}`)
    }
    this.#engine = HyperFormula.buildFromArray(lines, { licenseKey: 'gpl-v3', maxRows: 200_000 })
    this.#sheet = 0
  }

  /** Changes inputs in one go, and reads a cell. */
  scenario(changes: readonly (readonly [string, number])[], result: string): number {
    this.#engine.batch(() => {
      for (const [id, value] of changes) {
        const row = this.#rows.get(id)
        if (row !== undefined) this.#engine.setCellContents({ sheet: this.#sheet, row, col: 0 }, [[value]])
      }
    })
    return Number(this.#engine.getCellValue({ sheet: this.#sheet, row: this.#rows.get(result) ?? 0, col: 0 }))
  }
}
