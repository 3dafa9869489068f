// The page's own copy of the open folder: edits act here at once and are confirmed by the server later.

import type { Problem } from '../../tables/problem.js'
import type { Conflict } from '../desk.js'
import { changed, type Edit, type FileChange, type Texts } from '../edits.js'
import type { FromPage, FromServer, NotebookName, Paper, PaperState, Rooms } from '../protocol.js'
import type { Intent } from './intents.js'

interface Pending {
  readonly id: string
  readonly name: string
  readonly intent: Intent
  readonly changes: readonly FileChange[]
}

/** What the book tells its listeners. */
export type News =
  | { readonly kind: 'texts'; readonly why: string }
  | { readonly kind: 'standing' }
  | { readonly kind: 'word'; readonly text: string }
  | { readonly kind: 'paper'; readonly paper: Paper; readonly state: PaperState }
  | { readonly kind: 'notebook'; readonly message: unknown }

export class Book {
  folder = ''
  texts: Texts = {}
  /** Edits that the server knows, and how many of them are not undone. */
  names: readonly string[] = []
  done = 0
  unsaved: readonly string[] = []
  conflicts: readonly Conflict[] = []
  unreadable: readonly Problem[] = []
  notebooks: readonly NotebookName[] = []
  recovered = 0
  /** What is known of packed containers, from this page, other pages and the folder. */
  rooms: Rooms = {}
  online = false
  #confirmed: Texts = {}
  #revision = 0
  #pending: Pending[] = []
  #count = 0
  #socket: WebSocket | undefined
  readonly #page = Math.random().toString(36).slice(2, 10)
  readonly #listeners: ((news: News) => void)[] = []

  listen(hear: (news: News) => void): void {
    this.#listeners.push(hear)
  }

  /** Edits not confirmed yet. */
  get waiting(): number {
    return this.#pending.length
  }

  connect(): void {
    const socket = new WebSocket(`ws://${location.host}/talk`)
    this.#socket = socket
    socket.addEventListener('message', (event) => this.#hear(JSON.parse(String(event.data)) as FromServer))
    socket.addEventListener('close', () => {
      this.online = false
      this.#tell({ kind: 'standing' })
      setTimeout(() => this.connect(), 1_500)
    })
  }

  send(message: FromPage): void {
    if (this.#socket?.readyState === WebSocket.OPEN) this.#socket.send(JSON.stringify(message))
  }

  /**
   * Makes an edit under the words that the history shows.
   *
   * @returns why it cannot be made, if it cannot
   */
  edit(name: string, intent: Intent): string | undefined {
    let changes: FileChange[]
    try {
      changes = intent(this.texts)
      if (changes.length === 0) return undefined
      this.texts = changed(this.texts, changes)
    } catch (error) {
      return error instanceof Error ? error.message : String(error)
    }
    this.#count += 1
    const pending: Pending = { id: `${this.#page}-${this.#count}`, name: name.slice(0, 400), intent, changes }
    this.#submit(pending, this.#pending.length)
    this.#pending.push(pending)
    this.#tell({ kind: 'texts', why: name })
    this.#tell({ kind: 'standing' })
    return undefined
  }

  /** What the household would be with an edit that is not made: for a slider while it moves. */
  tried(intent: Intent): Texts | undefined {
    try {
      return changed(this.texts, intent(this.texts))
    } catch {
      return undefined
    }
  }

  /** Hands over what packing found, to be kept in the folder. */
  packed(rooms: Rooms): void {
    const news = Object.entries(rooms).filter(([key]) => this.rooms[key] === undefined)
    if (news.length === 0) return
    this.rooms = { ...this.rooms, ...Object.fromEntries(news) }
    this.send({ kind: 'packed', rooms: Object.fromEntries(news) })
  }

  undo(): void {
    this.send({ kind: 'undo' })
  }
  redo(): void {
    this.send({ kind: 'redo' })
  }
  save(): void {
    this.send({ kind: 'save' })
  }

  #submit({ id, name, changes }: Pending, place: number): void {
    const edit: Edit = { id, name, changes: [...changes] }
    this.send({ kind: 'edit', edit, base: this.#revision + place })
  }

  #tell(news: News): void {
    for (const hear of this.#listeners) hear(news)
  }

  #hear(message: FromServer): void {
    switch (message.kind) {
      case 'hello': {
        this.folder = message.folder
        this.#confirmed = message.texts
        this.#revision = message.revision
        this.names = message.edits.map(({ name }) => name)
        this.done = message.done
        this.recovered = message.recovered
        this.unreadable = message.unreadable
        this.notebooks = message.notebooks
        this.rooms = { ...this.rooms, ...message.rooms }
        this.online = true
        this.#stand(message)
        this.#rebuild()
        this.#tell({ kind: 'texts', why: '' })
        this.#tell({ kind: 'standing' })
        return
      }
      case 'stepped': {
        const { step, changes, revision } = message
        this.#revision = revision
        this.#confirmed = changed(this.#confirmed, changes)
        if (step.kind === 'edit') {
          this.names = [...this.names.slice(0, this.done), step.name ?? '']
          this.done += 1
        } else this.done += step.kind === 'undo' ? -1 : 1
        this.#stand(message)
        if (step.kind === 'edit' && this.#pending[0]?.id === step.id) {
          this.#pending.shift()
          this.#tell({ kind: 'standing' })
          return
        }
        this.#rebuild()
        const about = step.kind === 'undo' ? this.names[this.done] : this.names[this.done - 1]
        const word = step.kind === 'undo' ? 'undone: ' : step.kind === 'redo' ? 'redone: ' : ''
        this.#tell({ kind: 'texts', why: `${word}${about ?? ''}` })
        this.#tell({ kind: 'standing' })
        return
      }
      case 'refused': {
        const lost = this.#pending.find(({ id }) => id === message.id)
        this.#pending = this.#pending.filter(({ id }) => id !== message.id)
        this.#rebuild()
        this.#tell({ kind: 'texts', why: '' })
        this.#tell({ kind: 'word', text: `“${lost?.name ?? ''}” was not taken: ${message.why}` })
        return
      }
      case 'saved':
        this.#stand(message)
        this.#tell({ kind: 'standing' })
        this.#tell({
          kind: 'word',
          text: message.files.length > 0 ? `Saved: ${message.files.join(', ')}` : 'Nothing to save.',
        })
        return
      case 'standing':
        this.#stand(message)
        this.#tell({ kind: 'standing' })
        return
      case 'paper':
        this.#tell(message)
        return
      case 'notebook':
        this.#tell(message)
        return
      case 'packed':
        this.rooms = { ...this.rooms, ...message.rooms }
        return
      case 'trouble':
        this.#tell({ kind: 'word', text: message.why })
        return
    }
  }

  #stand({ unsaved, conflicts }: { unsaved: readonly string[]; conflicts: readonly Conflict[] }): void {
    this.unsaved = unsaved
    this.conflicts = conflicts
  }

  /** The texts from what is confirmed, with the edits on their way made again upon it and sent again. */
  #rebuild(): void {
    this.texts = this.#confirmed
    const kept: Pending[] = []
    for (const pending of this.#pending) {
      try {
        const changes = pending.intent(this.texts)
        this.texts = changed(this.texts, changes)
        if (changes.length > 0) kept.push({ ...pending, changes })
      } catch (error) {
        const why = error instanceof Error ? error.message : String(error)
        this.#tell({ kind: 'word', text: `“${pending.name}” was not taken: ${why}` })
      }
    }
    this.#pending = kept
    kept.forEach((pending, place) => {
      this.#submit(pending, place)
    })
  }
}
