// One message of the Jupyter messaging protocol, version 5.3, as frames of a ZeroMQ message.
// Source: jupyter_client's documentation, "Messaging in Jupyter", section "The wire protocol".
import { createHmac, randomUUID, timingSafeEqual } from 'node:crypto'

export interface WireHeader {
  readonly msg_id: string
  readonly msg_type: string
  readonly [key: string]: unknown
}

export interface WireMessage {
  readonly header: WireHeader
  /** Header of the request this answers; empty if none. */
  readonly parent: Partial<WireHeader>
  readonly content: Readonly<Record<string, unknown>>
}

const DELIMITER = Buffer.from('<IDS|MSG>')

function signature(key: string, parts: readonly (string | Uint8Array)[]): string {
  const hmac = createHmac('sha256', key)
  for (const part of parts) hmac.update(part)
  return hmac.digest('hex')
}

/** A request of the given type, with an id of its own. */
export function request(session: string, type: string, content: Record<string, unknown>): WireMessage {
  const header = {
    msg_id: randomUUID(),
    msg_type: type,
    session,
    username: 'quaybook',
    date: new Date().toISOString(),
    version: '5.3',
  }
  return { header, parent: {}, content }
}

/** Frames of a message, signed with the connection's key. */
export function encode(key: string, message: WireMessage): (string | Buffer)[] {
  const parts = [message.header, message.parent, {}, message.content].map((part) => JSON.stringify(part))
  return [DELIMITER, signature(key, parts), ...parts]
}

/** The message in the frames. Throws if they are no signed message of this connection. */
export function decode(key: string, frames: readonly Buffer[]): WireMessage {
  const at = frames.findIndex((frame) => frame.equals(DELIMITER))
  const [signed, header, parent, metadata, content] = frames.slice(at + 1)
  if (at < 0 || !signed || !header || !parent || !metadata || !content) {
    throw new Error(
      `found a message of ${frames.length} frames, expected a delimiter and five frames after it`,
    )
  }
  const expected = Buffer.from(signature(key, [header, parent, metadata, content]))
  if (expected.length !== signed.length || !timingSafeEqual(expected, signed)) {
    throw new Error('found a message with a wrong signature, expected one signed with the connection key')
  }
  return {
    header: JSON.parse(header.toString()),
    parent: JSON.parse(parent.toString()),
    content: JSON.parse(content.toString()),
  }
}
