import { readFileSync } from 'node:fs'
import { Ajv } from 'ajv'

const text = readFileSync(new URL('./nbformat.v4.5.schema.json', import.meta.url), 'utf8')
// The schema is draft 04; nothing in it means anything else in draft 07, which ajv 8 speaks.
const schema = { ...JSON.parse(text), $schema: 'http://json-schema.org/draft-07/schema#' }
const validate = new Ajv({ strict: false }).compile(schema)

/** What the official nbformat 4.5 schema finds wrong in the text of a notebook file; nothing if it is valid. */
export function schemaErrors(notebookText: string): string[] {
  if (validate(JSON.parse(notebookText))) return []
  return (validate.errors ?? []).map((error) => `${error.instancePath} ${error.message}`)
}
