// What the tests of the local server share: a copy of the demo household, assets without a page, a socket's talk.
import { cp, mkdtemp } from 'node:fs/promises'
import { request } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { WebSocket } from 'ws'
import type { Assets } from '../../src/open/assets.js'
import type { FromPage, FromServer } from '../../src/open/protocol.js'

/** Enough to start a server where no page is looked at. */
export const NO_PAGE: Assets = {
  page: () => '<!doctype html><title>Quaybook</title>',
  files: new Map(),
  reference: '{}',
}

export async function demoCopy(name = 'valparaiso-gdynia'): Promise<string> {
  const folder = join(await mkdtemp(join(tmpdir(), 'quaybook-open-')), name)
  await cp(join('data', 'households', name), folder, { recursive: true })
  return folder
}

export interface Answer {
  readonly status: number
  readonly headers: Readonly<Record<string, string | string[] | undefined>>
  readonly text: string
}

/** One request with exactly these headers: fetch would not let a test set Host. */
export const ask = (
  port: number,
  path: string,
  headers: Record<string, string> = {},
  method = 'GET',
): Promise<Answer> =>
  new Promise((resolve, reject) => {
    const sent = request({ host: '127.0.0.1', port, path, method, headers }, (response) => {
      let text = ''
      response.on('data', (chunk: Buffer) => {
        text += String(chunk)
      })
      response.on('end', () => resolve({ status: response.statusCode ?? 0, headers: response.headers, text }))
    })
    sent.on('error', reject)
    sent.end()
  })

/** The cookie that the first address gives. */
export async function cookieOf(address: string): Promise<string> {
  const { port, search } = new URL(address)
  const answer = await ask(Number(port), `/${search}`)
  return String(answer.headers['set-cookie']).split(';')[0] ?? ''
}

/** A page's side of the talk. */
export class Talk {
  readonly heard: FromServer[] = []
  #waiting: (() => void)[] = []

  private constructor(readonly socket: WebSocket) {
    socket.on('message', (data) => {
      this.heard.push(JSON.parse(String(data)) as FromServer)
      for (const wake of this.#waiting.splice(0)) wake()
    })
  }

  static async open(address: string): Promise<Talk> {
    const { port } = new URL(address)
    const cookie = await cookieOf(address)
    const socket = new WebSocket(`ws://127.0.0.1:${port}/talk`, {
      headers: { cookie },
      origin: `http://127.0.0.1:${port}`,
    })
    const talk = new Talk(socket)
    await new Promise((resolve, reject) => socket.once('open', resolve).once('error', reject))
    return talk
  }

  say(message: FromPage): void {
    this.socket.send(JSON.stringify(message))
  }

  /** The first message from position `from` on that passes, waiting for it if need be. */
  async next<T extends FromServer>(is: (message: FromServer) => message is T, from = 0): Promise<T> {
    for (;;) {
      const found = this.heard.slice(from).find(is)
      if (found) return found
      await new Promise<void>((resolve, reject) => {
        this.#waiting.push(resolve)
        this.socket.once('close', () => reject(new Error('the server closed the socket')))
      })
    }
  }
}

export const isKind =
  <K extends FromServer['kind']>(kind: K) =>
  (message: FromServer): message is Extract<FromServer, { kind: K }> =>
    message.kind === kind
