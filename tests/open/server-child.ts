// A server in a process of its own, to be killed: prints its address and serves until it ends.
import { serveFolder } from '../../src/open/server.js'
import { NO_PAGE } from './served.js'

const server = await serveFolder({
  folder: process.argv[2] ?? '',
  assets: NO_PAGE,
  now: '2026-11-25T10:00:00Z',
})
process.stdout.write(`${server.address}\n`)
