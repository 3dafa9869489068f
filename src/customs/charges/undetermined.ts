/** What could not be worked out, why, and whom to ask: never counted as zero without saying so. */
export interface Undetermined {
  readonly what: string
  readonly lines: readonly string[]
  readonly why: string
  readonly ask?: string
}
