// A table of inputs that a notebook shows: what it says of itself, so that the page of an open household can let its
// values be typed over where they stand.

/** The mime type of it. */
export const INPUTS_MIME = 'application/vnd.quaybook.inputs.v1+json'

/** Most inputs of one table: a page of it is for reading, the sheet holds them all. */
export const MOST_INPUTS = 60

/** An input as it stood when the cell ran. */
export interface ShownInput {
  readonly id: string
  readonly label: string
  readonly unit: string
  /** One for each scenario. */
  readonly values: readonly string[]
  /** From low to high; '' of a choice. */
  readonly range: string
  readonly source: string
}

export interface ShownInputs {
  readonly caption: string
  readonly scenarios: readonly string[]
  readonly inputs: readonly ShownInput[]
}

const isText = (value: unknown): value is string => typeof value === 'string' && value.length <= 2_000
const isTexts = (value: unknown, most: number): value is string[] =>
  Array.isArray(value) && value.length <= most && value.every(isText)

/** What an output says of itself under the mime type; undefined where it is anything else. */
export function shownInputs(data: unknown): ShownInputs | undefined {
  const { caption, scenarios, inputs } = Object(data) as Record<string, unknown>
  if (!isText(caption) || !isTexts(scenarios, 30)) return undefined
  if (!Array.isArray(inputs) || inputs.length > MOST_INPUTS) return undefined
  const isInput = (input: unknown): input is ShownInput => {
    const { id, label, unit, values, range, source } = Object(input) as Record<string, unknown>
    return (
      [id, label, unit, range, source].every(isText) &&
      isTexts(values, 30) &&
      values.length === scenarios.length
    )
  }
  return inputs.every(isInput) ? { caption, scenarios, inputs } : undefined
}
