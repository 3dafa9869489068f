import { spawn } from 'node:child_process'
import { readFile, rm, writeFile } from 'node:fs/promises'
import { createServer } from 'node:net'
import { dirname, join } from 'node:path'
import { build } from 'esbuild'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { WebSocket } from 'ws'
import { keepPackedRooms, readPackedRooms } from '../../src/load/packed-rooms-file.js'
import { Desk } from '../../src/open/desk.js'
import { type OpenServer, serveFolder } from '../../src/open/server.js'
import { csvSheet, setCell } from '../../src/tables/csv-edit.js'
import { ask, cookieOf, demoCopy, isKind, NO_PAGE, Talk } from './served.js'

const NOW = '2026-11-25T10:00:00Z'
/** Each costs a start of the server: QUAYBOOK_KILLS=50 tries the full number. */
const KILLS = Number(process.env.QUAYBOOK_KILLS ?? 8)
let folder: string
let server: OpenServer

beforeAll(async () => {
  folder = await demoCopy()
  server = await serveFolder({ folder, assets: NO_PAGE, now: NOW })
})
afterAll(async () => {
  await server.close()
  await rm(dirname(folder), { recursive: true, force: true })
})

/** The edit that gives the first line of the inventory another value. */
function valueEdit(text: string, id: string, value: number) {
  const sheet = csvSheet(text)
  const row = sheet?.rows[0]
  if (!sheet || !row) throw new Error('the inventory has no first line')
  return {
    id,
    name: `value ${value}`,
    changes: [{ file: 'inventory.csv', patches: setCell(sheet, row, 'value', String(value)) }],
  }
}

describe('who may come in', () => {
  it('gives a cookie for the key, once, over a redirect that hides it', async () => {
    const first = await ask(server.port, new URL(server.address).search.replace(/^/, '/'))
    expect(first.status).toBe(303)
    expect(first.headers.location).toBe('/')
    expect(String(first.headers['set-cookie'])).toMatch(
      /^quaybook-\d+=[\w-]{32}; Path=\/; HttpOnly; SameSite=Strict$/,
    )
    const cookie = await cookieOf(server.address)
    const page = await ask(server.port, '/', { cookie })
    expect(page.status).toBe(200)
    const policy = String(page.headers['content-security-policy'])
    expect(policy).toContain("default-src 'none'")
    expect(policy).not.toMatch(/unsafe|\*|https?:/)
  })

  it.each([
    ['without a key', '/', {}],
    ['with a wrong key', '/?key=abc', {}],
    ['with a cookie of another run', '/', { cookie: 'quaybook-1=abc' }],
    ['without a key, for the reference tables', '/reference.json', {}],
    ['without a key, for a paper', '/papers/brief.html', {}],
    ['without a key, for what is not there', '/nothing', {}],
  ])('refuses %s', async (_what, path, headers) => {
    expect((await ask(server.port, path, headers)).status).toBe(403)
  })

  it('refuses the right cookie under another host name or from another site', async () => {
    const cookie = await cookieOf(server.address)
    const own = `127.0.0.1:${server.port}`
    const tried = async (headers: Record<string, string>): Promise<number> =>
      (await ask(server.port, '/', { cookie, ...headers })).status
    expect(await tried({ host: own })).toBe(200)
    expect(await tried({ host: `localhost:${server.port}` })).toBe(200)
    for (const host of [
      'evil.example',
      `evil.example:${server.port}`,
      '127.0.0.1',
      '127.0.0.1:1',
      `${own}.evil.example`,
    ])
      expect(await tried({ host }), host).toBe(403)
    for (const origin of [
      'http://evil.example',
      'null',
      `https://${own}`,
      'http://127.0.0.1:1',
      `http://${own}.evil.example`,
    ])
      expect(await tried({ host: own, origin }), origin).toBe(403)
    expect(await tried({ host: own, 'sec-fetch-site': 'cross-site' })).toBe(403)
    expect(await tried({ host: own, origin: `http://${own}`, 'sec-fetch-site': 'same-origin' })).toBe(200)
  })

  it.each([
    ['from another origin', { origin: 'http://evil.example' }, true],
    ['without an origin', {}, true],
    ['without the cookie', { own: true }, false],
  ])('opens no socket %s', async (_what, options: { origin?: string; own?: boolean }, withCookie) => {
    const cookie = await cookieOf(server.address)
    const origin = options.own ? `http://127.0.0.1:${server.port}` : options.origin
    const socket = new WebSocket(`ws://127.0.0.1:${server.port}/talk`, {
      headers: withCookie ? { cookie } : {},
      ...(origin === undefined ? {} : { origin }),
    })
    const how = await new Promise((resolve) => {
      socket.once('open', () => resolve('opened'))
      socket.once('error', (error) => resolve(error.message))
    })
    expect(how).toBe('Unexpected server response: 403')
  })

  it('hands out no file by a path that leads out, and takes nothing but GET', async () => {
    const cookie = await cookieOf(server.address)
    for (const path of [
      '/page/../package.json',
      '/page/%2e%2e%2fpackage.json',
      '/papers/..%2fhousehold.csv',
      '/papers/household.csv',
      '/%00',
    ])
      expect((await ask(server.port, path, { cookie })).status, path).toBeGreaterThanOrEqual(400)
    for (const method of ['POST', 'PUT', 'DELETE'])
      expect((await ask(server.port, '/', { cookie }, method)).status).toBe(404)
  })

  it('listens on this machine only, and says so of a port that is taken', async () => {
    const other = createServer()
    await new Promise<void>((resolve) => other.listen(0, '127.0.0.1', resolve))
    const port = (other.address() as { port: number }).port
    await expect(
      serveFolder({ folder: join(folder, '..', 'two'), assets: NO_PAGE, now: NOW, port }),
    ).rejects.toThrow(`port ${port} is taken`)
    other.close()
    expect(new URL(server.address).hostname).toBe('127.0.0.1')
  })
})

describe('the talk', () => {
  it('greets with the files as they are, takes edits, undoes them and saves', async () => {
    const talk = await Talk.open(server.address)
    const hello = await talk.next(isKind('hello'))
    const inventory = hello.texts['inventory.csv'] ?? ''
    expect(inventory).toBe(await readFile(join(folder, 'inventory.csv'), 'utf8'))
    expect(hello.notebooks.map(({ name }) => name)).toContain('01-household-and-volume.ipynb')
    talk.say({ kind: 'edit', edit: valueEdit(inventory, 'one', 77), base: hello.revision })
    const stepped = await talk.next(isKind('stepped'))
    expect(stepped).toMatchObject({
      step: { kind: 'edit', id: 'one', name: 'value 77' },
      unsaved: ['inventory.csv'],
    })
    talk.say({ kind: 'save' })
    await talk.next(isKind('saved'))
    expect(await readFile(join(folder, 'inventory.csv'), 'utf8')).toContain(',34,77,170,')
    talk.say({ kind: 'undo' })
    await talk.next(isKind('stepped'), talk.heard.length)
    talk.say({ kind: 'save' })
    await talk.next(isKind('saved'), talk.heard.length)
    expect(await readFile(join(folder, 'inventory.csv'), 'utf8')).toBe(inventory)
    talk.socket.close()
  })

  it('lets two pages work on one folder: the one that comes late is told and asked nothing', async () => {
    const [a, b] = [await Talk.open(server.address), await Talk.open(server.address)]
    const [{ texts, revision }] = [await a.next(isKind('hello')), await b.next(isKind('hello'))]
    const text = texts['inventory.csv'] ?? ''
    a.say({ kind: 'edit', edit: valueEdit(text, 'from-a', 1), base: revision })
    const seen = await b.next(isKind('stepped'))
    expect(seen.step.id).toBe('from-a')
    b.say({ kind: 'edit', edit: valueEdit(text, 'late', 2), base: revision })
    b.say({ kind: 'undo' })
    const undone = await a.next(
      (m): m is Extract<typeof m, { kind: 'stepped' }> => m.kind === 'stepped' && m.step.kind === 'undo',
    )
    expect(undone.revision).toBe(seen.revision + 1)
    expect(server.desk.texts['inventory.csv']).toBe(text)
    a.socket.close()
    b.socket.close()
  })

  it('keeps what a page found by packing beside what is kept already, and tells every page', async () => {
    const [a, b] = [await Talk.open(server.address), await Talk.open(server.address)]
    const [first, second] = ['1'.repeat(64), '2'.repeat(64)]
    const room = { complete: true, aboardShare: 1.003 }
    await keepPackedRooms(folder, new Map([[first, { complete: true, aboardShare: 1 }]]))
    a.say({ kind: 'packed', rooms: { [second]: room } })
    expect((await b.next(isKind('packed'))).rooms).toEqual({ [second]: room })
    expect([...(await readPackedRooms(folder)).keys()]).toEqual([first, second])
    a.say({ kind: 'packed', rooms: { 'no key': { complete: true, aboardShare: 7 } } })
    expect((await a.next(isKind('trouble'))).why).toContain('load it again')
    expect((await readPackedRooms(folder)).size).toBe(2)
    const late = await Talk.open(server.address)
    expect((await late.next(isKind('hello'))).rooms[second]).toEqual(room)
    for (const talk of [a, b, late]) talk.socket.close()
  })

  it('says in a sentence what it cannot take, and goes on', async () => {
    const talk = await Talk.open(server.address)
    const { revision } = await talk.next(isKind('hello'))
    const bad = (changes: unknown) =>
      ({ kind: 'edit', edit: { id: 'bad', name: 'bad', changes }, base: revision }) as never
    for (const changes of [
      [{ file: '../evil.csv', patches: [] }],
      [{ file: 'household.csv', patches: [{ at: -1, removed: '', inserted: '' }] }],
      [{ file: 'notes.txt', patches: [], life: 'made' }],
      'nothing',
    ]) {
      const from = talk.heard.length
      talk.say(bad(changes))
      expect((await talk.next(isKind('trouble'), from)).why).toContain(
        'an edit that this server does not know',
      )
    }
    const from = talk.heard.length
    talk.say(bad([{ file: 'household.csv', patches: [{ at: 3, removed: 'nope', inserted: '' }] }]))
    expect((await talk.next(isKind('refused'), from)).id).toBe('bad')
    talk.socket.send('{{{')
    talk.say({ kind: 'nonsense' } as never)
    talk.say({ kind: 'save' })
    await talk.next(isKind('saved'), from)
    talk.socket.close()
  })

  it('tells every page when a file changes on the disk', async () => {
    const talk = await Talk.open(server.address)
    const { texts } = await talk.next(isKind('hello'))
    const people = texts['people.csv'] ?? ''
    await writeFile(
      join(folder, 'people.csv'),
      `${people}D,settler,yes,2000-01-01,2027-03-05,2027-03-09,,,,\n`,
    )
    const standing = await talk.next(isKind('standing'))
    expect(standing.conflicts).toMatchObject([{ file: 'people.csv', mine: people }])
    talk.say({ kind: 'settle', file: 'people.csv', keep: 'disk' })
    const taken = await talk.next(isKind('stepped'))
    expect(taken).toMatchObject({
      step: { name: 'people.csv taken as it is on the disk' },
      conflicts: [],
      unsaved: [],
    })
    talk.socket.close()
  })
})

describe('a server that is killed', () => {
  it(`has lost nothing that it confirmed, at ${KILLS} random moments`, { timeout: 900_000 }, async () => {
    const home = await demoCopy('student-tromso-wellington')
    // Inside the repository, so that packages are found from it.
    const inside = join('node_modules', '.cache', `server-${process.pid}.mjs`)
    await build({
      entryPoints: ['tests/open/server-child.ts'],
      outfile: inside,
      bundle: true,
      platform: 'node',
      format: 'esm',
      packages: 'external',
      logLevel: 'error',
    })
    let seed = 20261125
    const random = (): number => {
      seed = (seed * 1103515245 + 12345) % 2 ** 31
      return seed / 2 ** 31
    }
    let confirmed = 0
    let sent = 0
    for (let moment = 0; moment < KILLS; moment++) {
      const running = spawn(process.execPath, [inside, home], { stdio: ['ignore', 'pipe', 'inherit'] })
      const address = await new Promise<string>((resolve) =>
        running.stdout.once('data', (d: Buffer) => resolve(String(d).trim())),
      )
      const talk = await Talk.open(address)
      const hello = await talk.next(isKind('hello'))
      expect(hello.done, `moment ${moment}`).toBeGreaterThanOrEqual(confirmed)
      expect(hello.done).toBeLessThanOrEqual(sent)
      const first = csvSheet(hello.texts['inventory.csv'] ?? '')?.rows[0]
      const value = hello.done === 0 ? undefined : hello.edits.at(-1)?.name.replace('value ', '')
      if (value !== undefined) expect(first?.cells.some((cell) => cell.value === value)).toBe(true)
      confirmed = hello.done
      sent = hello.done
      let text = hello.texts['inventory.csv'] ?? ''
      let base = hello.revision
      const dead = new Promise((resolve) => running.once('exit', resolve))
      setTimeout(() => running.kill('SIGKILL'), random() * 150)
      while (running.exitCode === null && running.signalCode === null && sent - confirmed < 5) {
        const edit = valueEdit(text, `e${sent}`, 1000 + sent)
        const patches = edit.changes[0]?.patches ?? []
        for (const { at, removed, inserted } of patches)
          text = text.slice(0, at) + inserted + text.slice(at + removed.length)
        talk.say({ kind: 'edit', edit, base })
        base += 1
        sent += 1
        await new Promise((resolve) => setTimeout(resolve, 1))
        confirmed = Math.max(confirmed, hello.done + talk.heard.filter(isKind('stepped')).length)
      }
      await dead
      await new Promise((resolve) => setTimeout(resolve, 5))
      confirmed = Math.max(confirmed, hello.done + talk.heard.filter(isKind('stepped')).length)
      talk.socket.terminate()
    }
    expect(confirmed).toBeGreaterThan(KILLS / 2)
    const after = await Desk.open(home, NOW)
    expect(after.history.done).toBeGreaterThanOrEqual(confirmed)
    while (await after.take({ kind: 'undo' }));
    expect(after.texts['inventory.csv']).toBe(
      await readFile('data/households/student-tromso-wellington/inventory.csv', 'utf8'),
    )
    await after.close()
    await rm(inside, { force: true })
    await rm(dirname(home), { recursive: true, force: true })
  })
})
