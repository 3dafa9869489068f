import { createHmac } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import { decode, encode, request } from '../../src/notebook/wire.js'

const frames = (message: (string | Buffer)[]): Buffer[] => message.map((frame) => Buffer.from(frame))

describe('messages on the wire', () => {
  const sent = request('session', 'execute_request', { code: 'é' })

  it('are framed as the Jupyter messaging documentation says: delimiter, HMAC-SHA256 in hex, four JSON parts', () => {
    const [delimiter, signature, ...parts] = encode('key', sent).map(String)
    expect(delimiter).toBe('<IDS|MSG>')
    expect(signature).toBe(createHmac('sha256', 'key').update(parts.join('')).digest('hex'))
    expect(parts.map((part) => JSON.parse(part))).toEqual([sent.header, {}, {}, { code: 'é' }])
    expect(sent.header).toMatchObject({ msg_type: 'execute_request', session: 'session', version: '5.3' })
  })

  it('are read back, whatever identities stand before the delimiter', () => {
    expect(decode('key', frames(['identity', 'another', ...encode('key', sent)]))).toEqual(sent)
  })

  it('are refused if they were changed or signed with another key', () => {
    const changed = encode('key', sent).map((frame) => Buffer.from(String(frame).replace('é', 'e')))
    expect(() => decode('key', changed)).toThrow(/wrong signature/)
    expect(() => decode('other', frames(encode('key', sent)))).toThrow(/wrong signature/)
    expect(() => decode('key', frames(['a', 'b']))).toThrow(/found a message of 2 frames/)
  })
})
