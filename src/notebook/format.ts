// nbformat 4.5, the open file format of Jupyter notebooks: reading with clear refusals, writing byte-stably.
// Source: nbformat's format description and its published JSON schema for 4.5.
import { createHash } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { replaceFile } from '../paper/replace-file.js'

/** Text in a notebook file: one string or a list of lines that keep their line ends. */
export type Multiline = string | readonly string[]
/** Several renderings of one output by mime type. */
export type MimeBundle = Readonly<Record<string, unknown>>

export interface StreamOutput {
  readonly output_type: 'stream'
  readonly name: 'stdout' | 'stderr'
  readonly text: Multiline
}
export interface DisplayOutput {
  readonly output_type: 'display_data'
  readonly data: MimeBundle
  readonly metadata: MimeBundle
}
export interface ResultOutput {
  readonly output_type: 'execute_result'
  readonly execution_count: number | null
  readonly data: MimeBundle
  readonly metadata: MimeBundle
}
export interface ErrorOutput {
  readonly output_type: 'error'
  readonly ename: string
  readonly evalue: string
  readonly traceback: readonly string[]
}
export type Output = StreamOutput | DisplayOutput | ResultOutput | ErrorOutput

export interface CellMetadata {
  readonly tags?: readonly string[]
  readonly [key: string]: unknown
}
interface CellBase {
  readonly id: string
  readonly metadata: CellMetadata
  readonly source: Multiline
}
export interface CodeCell extends CellBase {
  readonly cell_type: 'code'
  readonly execution_count: number | null
  readonly outputs: readonly Output[]
}
export interface TextCell extends CellBase {
  readonly cell_type: 'markdown' | 'raw'
  readonly attachments?: Readonly<Record<string, MimeBundle>>
}
export type Cell = CodeCell | TextCell

/** A notebook as nbformat 4.5 describes it. */
export interface Notebook {
  readonly cells: readonly Cell[]
  readonly metadata: Readonly<Record<string, unknown>>
  readonly nbformat: 4
  readonly nbformat_minor: 5
}

/** A notebook or a run that cannot be: the message says where, what was found, what is expected, what to do. */
export class NotebookError extends Error {
  override readonly name = 'NotebookError'
}

/** Text of a multi-line field as one string. */
export function textOf(text: Multiline): string {
  return typeof text === 'string' ? text : text.join('')
}

/** Tags of a cell; none if it has none. */
export function tagsOf(cell: Cell): readonly string[] {
  return cell.metadata.tags ?? []
}

const CELL_ID = /^[a-zA-Z0-9-_]{1,64}$/

type Json = Record<string, unknown>

function isObject(value: unknown): value is Json {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

function isMultiline(value: unknown): value is Multiline {
  return (
    typeof value === 'string' || (Array.isArray(value) && value.every((line) => typeof line === 'string'))
  )
}

/** An id for a cell of an older file: from its place and text, so that reading twice gives the same. */
function derivedId(position: number, source: string): string {
  return `cell-${createHash('sha256').update(`${position}\n${source}`).digest('hex').slice(0, 12)}`
}

function readOutput(output: unknown, where: string): Output {
  const type = isObject(output) ? output.output_type : undefined
  if (isObject(output)) {
    if (type === 'stream' && isMultiline(output.text)) {
      return {
        output_type: 'stream',
        name: output.name === 'stderr' ? 'stderr' : 'stdout',
        text: output.text,
      }
    }
    const data = isObject(output.data) ? output.data : {}
    const metadata = isObject(output.metadata) ? output.metadata : {}
    if (type === 'display_data') return { output_type: 'display_data', data, metadata }
    if (type === 'execute_result') {
      const count = typeof output.execution_count === 'number' ? output.execution_count : null
      return { output_type: 'execute_result', execution_count: count, data, metadata }
    }
    if (type === 'error') {
      const traceback = Array.isArray(output.traceback) ? output.traceback.map(String) : []
      const { ename, evalue } = output
      return { output_type: 'error', ename: String(ename), evalue: String(evalue), traceback }
    }
  }
  throw new NotebookError(
    `${where}: found an output of type ${JSON.stringify(type ?? null)}, expected stream, display_data, ` +
      'execute_result or error. Run the notebook again to replace its outputs.',
  )
}

function readCell(cell: unknown, position: number, name: string): Cell {
  const where = `${name}, cell ${position}`
  if (!isObject(cell) || !isMultiline(cell.source)) {
    throw new NotebookError(
      `${where}: found no text under "source", expected a string or a list of lines. ` +
        'Open the notebook in Jupyter and save it again.',
    )
  }
  const tags = isObject(cell.metadata) ? cell.metadata.tags : undefined
  if (tags !== undefined && !(Array.isArray(tags) && tags.every((tag) => typeof tag === 'string'))) {
    throw new NotebookError(
      `${where}: found tags ${JSON.stringify(tags)}, expected a list of words. Write ["parameters"].`,
    )
  }
  const id = typeof cell.id === 'string' ? cell.id : derivedId(position, textOf(cell.source))
  if (!CELL_ID.test(id)) {
    throw new NotebookError(
      `${where}: found the id ${JSON.stringify(id)}, expected 1 to 64 letters, digits, "-" or "_". Rename it.`,
    )
  }
  const base = { id, metadata: isObject(cell.metadata) ? cell.metadata : {}, source: cell.source }
  if (cell.cell_type === 'code') {
    const outputs = Array.isArray(cell.outputs) ? cell.outputs : []
    return {
      cell_type: 'code',
      ...base,
      execution_count: typeof cell.execution_count === 'number' ? cell.execution_count : null,
      outputs: outputs.map((output) => readOutput(output, where)),
    }
  }
  if (cell.cell_type === 'markdown' || cell.cell_type === 'raw') {
    const attachments = isObject(cell.attachments)
      ? { attachments: cell.attachments as Readonly<Record<string, MimeBundle>> }
      : {}
    return { cell_type: cell.cell_type, ...base, ...attachments }
  }
  throw new NotebookError(
    `${where}: found cell_type ${JSON.stringify(cell.cell_type ?? null)}, expected code, markdown or raw. ` +
      'Open the notebook in Jupyter and save it again.',
  )
}

/**
 * A notebook from the text of its file.
 *
 * @param text contents of an .ipynb file, nbformat 4; files older than 4.5 get ids derived from their cells
 * @param name what error messages call the file
 * Throws NotebookError if the text is not such a notebook or two cells share an id.
 */
export function parseNotebook(text: string, name = 'notebook'): Notebook {
  let json: unknown
  try {
    json = JSON.parse(text.replace(/^\uFEFF/, ''))
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error)
    throw new NotebookError(`${name}: found text that is not JSON (${reason}), expected a Jupyter notebook.`)
  }
  if (!isObject(json) || json.nbformat !== 4 || !Array.isArray(json.cells)) {
    const found = isObject(json) ? `nbformat ${JSON.stringify(json.nbformat ?? null)}` : 'no JSON object'
    throw new NotebookError(
      `${name}: found ${found}, expected a notebook of nbformat 4 with a list of cells. ` +
        'Open it in Jupyter and save it again.',
    )
  }
  const cells = json.cells.map((cell, index) => readCell(cell, index + 1, name))
  const positions = new Map<string, number>()
  cells.forEach((cell, index) => {
    const earlier = positions.get(cell.id)
    if (earlier !== undefined) {
      throw new NotebookError(
        `${name}, cell ${index + 1}: found the id "${cell.id}" of cell ${earlier}, expected one of its own. ` +
          'Change one of the two.',
      )
    }
    positions.set(cell.id, index + 1)
  })
  return { cells, metadata: isObject(json.metadata) ? json.metadata : {}, nbformat: 4, nbformat_minor: 5 }
}

/** Lines of a text, each with its line end, as Jupyter writes them; an empty text has no lines. */
function lines(text: Multiline): string[] {
  return textOf(text).match(/[^\n]*\n|[^\n]+$/g) ?? []
}

const isJsonMime = (mime: string): boolean => mime === 'application/json' || mime.endsWith('+json')

function writableOutput(output: Output): unknown {
  if (output.output_type === 'stream') return { ...output, text: lines(output.text) }
  if (output.output_type === 'error') return output
  const data = Object.entries(output.data).map(([mime, value]) => [
    mime,
    isMultiline(value) && !isJsonMime(mime) ? lines(value) : value,
  ])
  return { ...output, data: Object.fromEntries(data) }
}

function writableCell(cell: Cell): unknown {
  // Times of execution differ on every run and say nothing about the notebook.
  const { execution: _times, ...metadata } = cell.metadata
  const written = { ...cell, metadata, source: lines(cell.source) }
  return cell.cell_type === 'code' ? { ...written, outputs: cell.outputs.map(writableOutput) } : written
}

function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted)
  if (!isObject(value)) return value
  return Object.fromEntries(
    Object.keys(value)
      .sort()
      .map((key) => [key, sorted(value[key])]),
  )
}

/**
 * The text of a notebook's file: sorted keys, one space of indent, text as lists of lines, final newline, no
 * times. Equal notebooks give equal bytes, the same ones that Jupyter's own writer gives.
 */
export function notebookText(notebook: Notebook): string {
  const written = { ...notebook, cells: notebook.cells.map(writableCell) }
  return `${JSON.stringify(sorted(written), null, 1)}\n`
}

/** Reads a notebook file. Throws NotebookError as parseNotebook does, or if there is no such file. */
export async function readNotebook(path: string): Promise<Notebook> {
  let text: string
  try {
    text = await readFile(path, 'utf8')
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error)
    throw new NotebookError(`${path}: could not be read (${reason}). Check the path.`)
  }
  return parseNotebook(text, path)
}

/** Writes a notebook file through a new file renamed over the old one, so that a crash leaves one of the two. */
export async function writeNotebook(path: string, notebook: Notebook): Promise<void> {
  await replaceFile(path, notebookText(notebook))
}
