// The local server of an open folder: one page, one socket, nothing that reaches beyond this machine.
import { randomBytes } from 'node:crypto'
import { watch } from 'node:fs'
import { basename } from 'node:path'
import websocket from '@fastify/websocket'
import fastify, { type FastifyInstance, type FastifyRequest } from 'fastify'
import type { WebSocket } from 'ws'
import { keepPackedRooms, packedRoomsData, readPackedRooms } from '../load/packed-rooms-file.js'
import type { Assets } from './assets.js'
import { Desk } from './desk.js'
import { Gate, type Knock, PAPER_POLICY, pagePolicy } from './gate.js'
import { isEdit } from './journal.js'
import { NotebookRoom } from './notebook-room.js'
import { PaperShop } from './papers.js'
import type { FromPage, FromServer, Rooms } from './protocol.js'
import { Shadow } from './shadow.js'

/** The longest message a page may send, bytes: a household of 15,000 lines pasted at once is some 3 MB. */
const LONGEST_MESSAGE = 16 * 1024 * 1024

/** How long the disk is left alone after it changed, ms: spreadsheet programs write in several goes. */
const SETTLE_MS = 300

export interface OpenServer {
  /** The first address, with its key. */
  readonly address: string
  readonly port: number
  readonly desk: Desk
  close(): Promise<void>
}

export interface ServeOptions {
  readonly folder: string
  readonly assets: Assets
  /** 0 or absent: any free port. */
  readonly port?: number
  /** When the folder was opened, as the lock says it. */
  readonly now: string
}

const single = (value: string | string[] | undefined): string | undefined =>
  Array.isArray(value) ? value.join(', ') : value

const knockOf = ({ headers, query }: FastifyRequest): Knock => ({
  host: headers.host,
  origin: headers.origin,
  site: single(headers['sec-fetch-site']),
  cookie: headers.cookie,
  key: typeof query === 'object' && query !== null && 'key' in query ? String(query.key) : undefined,
})

/** Opens a folder and serves its page on 127.0.0.1. Throws FolderInUse, or one sentence if the port is taken. */
export async function serveFolder(options: ServeOptions): Promise<OpenServer> {
  const desk = await Desk.open(options.folder, options.now)
  const app = fastify({
    logger: false,
    bodyLimit: 1024,
    routerOptions: { maxParamLength: 200 },
    forceCloseConnections: true,
  })
  try {
    await app.register(websocket, { options: { maxPayload: LONGEST_MESSAGE } })
    const pages = new Pages(desk, options)
    let gate: Gate | undefined
    guard(app, () => gate)
    routes(app, pages, options.assets)
    await app.listen({ host: '127.0.0.1', port: options.port ?? 0 }).catch((error: NodeJS.ErrnoException) => {
      if (error.code !== 'EADDRINUSE') throw error
      throw new Error(`port ${options.port} is taken; leave --port out for any free one`)
    })
    const address = app.server.address()
    const port = typeof address === 'object' && address ? address.port : 0
    gate = new Gate(port)
    let timer: NodeJS.Timeout | undefined
    const watcher = watch(options.folder, () => {
      clearTimeout(timer)
      timer = setTimeout(() => void pages.look(), SETTLE_MS)
    })
    return {
      address: `http://127.0.0.1:${port}/?key=${gate.key}`,
      port,
      desk,
      close: async () => {
        watcher.close()
        clearTimeout(timer)
        await pages.close()
        await app.close()
        await desk.close()
      },
    }
  } catch (error) {
    await app.close()
    await desk.close()
    throw error
  }
}

function guard(app: FastifyInstance, gateNow: () => Gate | undefined): void {
  app.addHook('onRequest', async (request, reply) => {
    const gate = gateNow()
    const knock = knockOf(request)
    void reply.headers({
      'content-security-policy': pagePolicy(),
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
      'cross-origin-opener-policy': 'same-origin',
      'cross-origin-resource-policy': 'same-origin',
      'cache-control': 'no-store',
    })
    if (!gate?.isLocal(knock))
      return reply.code(403).type('text/plain').send('This page answers only to its own address.\n')
    if (gate.hasKey(knock) && request.method === 'GET' && request.url.startsWith('/?')) {
      return reply.header('set-cookie', gate.cookie).redirect('/', 303)
    }
    if (!gate.hasPass(knock)) {
      return reply
        .code(403)
        .type('text/plain')
        .send('Open the whole address that quaybook open printed, with its key.\n')
    }
    // A socket without an origin is no page of this server.
    if (request.url === '/talk' && knock.origin === undefined) return reply.code(403).send()
  })
}

function routes(app: FastifyInstance, pages: Pages, assets: Assets): void {
  app.get('/', (_request, reply) => {
    const mark = randomBytes(16).toString('base64url')
    return reply
      .header('content-security-policy', pagePolicy(mark))
      .type('text/html; charset=utf-8')
      .send(assets.page(mark))
  })
  app.get<{ Params: { '*': string } }>('/page/*', (request, reply) => {
    const asset = assets.files.get(request.params['*'])
    if (!asset) return reply.code(404).type('text/plain').send('There is no such file.\n')
    // Names of built pieces hold a hash of their content, the others do not.
    return reply.type(asset.type).send(asset.content)
  })
  app.get('/reference.json', (_request, reply) => reply.type('application/json').send(assets.reference))
  app.get<{ Params: { name: string } }>('/papers/:name', async (request, reply) => {
    const paper = await pages.papers.read(request.params.name)
    if (!paper) return reply.code(404).type('text/plain').send('There is no such paper; make it first.\n')
    return reply
      .header('content-security-policy', PAPER_POLICY)
      .header(
        'content-disposition',
        `${paper.shown ? 'inline' : 'attachment'}; filename="${request.params.name}"`,
      )
      .type(paper.type)
      .send(paper.content)
  })
  app.get('/talk', { websocket: true }, (socket) => pages.join(socket))
  app.setNotFoundHandler((_request, reply) =>
    reply.code(404).type('text/plain').send('There is no such page.\n'),
  )
}

/** The pages that show the folder, and what they ask for. */
class Pages {
  readonly #sockets = new Set<WebSocket>()
  readonly papers: PaperShop
  readonly #room: NotebookRoom
  readonly #shadow: Shadow
  #edits = 0
  #keeping: Promise<void> = Promise.resolve()

  constructor(
    readonly desk: Desk,
    { folder }: ServeOptions,
  ) {
    this.#shadow = new Shadow(folder, () => desk.texts)
    this.papers = new PaperShop(folder, this.#shadow, (paper, state) =>
      this.#tell({ kind: 'paper', paper, state }),
    )
    this.#room = new NotebookRoom(folder, this.#shadow, (message) =>
      this.#tell({ kind: 'notebook', message }),
    )
  }

  async join(socket: WebSocket): Promise<void> {
    this.#sockets.add(socket)
    socket.on('close', () => this.#sockets.delete(socket))
    socket.on('error', () => socket.terminate())
    // Heard from the first message on, answered after the greeting.
    let ready: Promise<void> = Promise.resolve()
    socket.on('message', (data, isBinary) => {
      ready = ready.then(() => this.#hear(socket, isBinary ? '' : String(data)))
    })
    ready = this.#greet(socket)
    await ready
  }

  async look(): Promise<void> {
    if (await this.desk.look()) this.#tell({ kind: 'standing', ...this.#standing() })
  }

  async close(): Promise<void> {
    for (const socket of this.#sockets) socket.terminate()
    await Promise.all([this.#room.close(), this.papers.close(), this.#keeping])
    await this.#shadow.remove()
  }

  #standing() {
    return { unsaved: this.desk.unsaved, conflicts: this.desk.conflicts }
  }

  #tell(message: FromServer): void {
    const text = JSON.stringify(message)
    for (const socket of this.#sockets) socket.send(text)
  }

  async #greet(socket: WebSocket): Promise<void> {
    const notebooks = await this.#room.names()
    const { texts, revision, history, recovered, unreadable, folder } = this.desk
    const rooms = await readPackedRooms(folder)
    const hello: FromServer = {
      kind: 'hello',
      folder: basename(folder),
      texts,
      revision,
      edits: history.edits.map(({ id, name }) => ({ id, name })),
      done: history.done,
      recovered,
      unreadable,
      notebooks,
      rooms: Object.fromEntries(rooms),
      ...this.#standing(),
    }
    socket.send(JSON.stringify(hello))
  }

  async #hear(socket: WebSocket, text: string): Promise<void> {
    const say = (message: FromServer): void => socket.send(JSON.stringify(message))
    let message: FromPage
    try {
      message = JSON.parse(text) as FromPage
    } catch {
      return say({ kind: 'trouble', why: 'The page sent something that is no message; load it again.' })
    }
    try {
      await this.#answer(message, say)
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error)
      if (message.kind === 'edit' && isEdit(message.edit)) say({ kind: 'refused', id: message.edit.id, why })
      else say({ kind: 'trouble', why })
    }
  }

  async #answer(message: FromPage, say: (message: FromServer) => void): Promise<void> {
    switch (message.kind) {
      case 'edit': {
        if (!isEdit(message.edit))
          throw new Error('The page sent an edit that this server does not know; load it again.')
        const { edit, base } = message
        // Not awaited: the next edit of a quick typist must not wait for the disk. One made for an older revision is
        // dropped without a word, because the page has been told of the step it missed and sends the edit again.
        return this.#step(this.desk.take({ kind: 'edit', edit }, Number(base)))
      }
      case 'undo':
      case 'redo':
        return this.#step(this.desk.take({ kind: message.kind }))
      case 'save': {
        const files = await this.desk.save()
        return this.#tell({ kind: 'saved', files, ...this.#standing() })
      }
      case 'settle': {
        this.#edits += 1
        const keep = message.keep === 'disk' ? 'disk' : 'mine'
        const taken = this.desk.settle(String(message.file), keep, `disk-${this.#edits}`)
        if (await taken) return this.#step(taken)
        return this.#tell({ kind: 'standing', ...this.#standing() })
      }
      case 'paper':
        return this.papers.make(message.paper, message)
      case 'stop-paper':
        return this.papers.stop(message.paper)
      case 'notebook':
        return this.#room.hear(message.message, (answer) => say({ kind: 'notebook', message: answer }))
      case 'packed': {
        const found = packedRoomsData.safeParse(message.rooms)
        if (!found.success)
          throw new Error('The page sent what packing found in a form unknown here; load it again.')
        this.#keeping = this.#keeping.then(() => this.#keep(found.data))
        await this.#keeping
        return this.#tell({ kind: 'packed', rooms: found.data })
      }
      default:
        throw new Error('The page asked for something that this server does not know; load it again.')
    }
  }

  /** Adds what a page found to what the folder keeps, where the command line looks for it too. */
  async #keep(found: Rooms): Promise<void> {
    const { folder } = this.desk
    await keepPackedRooms(folder, new Map([...(await readPackedRooms(folder)), ...Object.entries(found)]))
  }

  async #step(taken: ReturnType<Desk['take']>): Promise<void> {
    const stepped = await taken
    if (!stepped) return
    const { step, changes, revision } = stepped
    const shown =
      step.kind === 'edit' ? { kind: step.kind, id: step.edit.id, name: step.edit.name } : { kind: step.kind }
    this.#tell({ kind: 'stepped', revision, step: shown, changes, ...this.#standing() })
  }
}
