// Who may come in: the person who was given the address, from this machine, on this page.
import { randomBytes, timingSafeEqual } from 'node:crypto'

/** What a request says of itself. */
export interface Knock {
  readonly host: string | undefined
  readonly origin: string | undefined
  readonly site: string | undefined
  readonly cookie: string | undefined
  readonly key: string | undefined
}

/** The door of one server: a key in the first address, a cookie after that. */
export class Gate {
  readonly key = randomBytes(24).toString('base64url')
  readonly #pass = randomBytes(24).toString('base64url')

  /** Cookies do not tell ports apart, so the name does: two open folders keep their own. */
  constructor(readonly port: number) {}

  get cookieName(): string {
    return `quaybook-${this.port}`
  }

  /** The cookie that the first address is answered with. */
  get cookie(): string {
    return `${this.cookieName}=${this.#pass}; Path=/; HttpOnly; SameSite=Strict`
  }

  /** Whether the request is for this server by its own name and comes from no other site's page. */
  isLocal({ host, origin, site }: Knock): boolean {
    const names = [`127.0.0.1:${this.port}`, `localhost:${this.port}`]
    if (host === undefined || !names.includes(host)) return false
    if (origin !== undefined && !names.some((name) => origin === `http://${name}`)) return false
    return site !== 'cross-site'
  }

  hasKey({ key }: Knock): boolean {
    return key !== undefined && equal(key, this.key)
  }

  hasPass({ cookie }: Knock): boolean {
    const pairs = (cookie ?? '').split(';').map((pair) => pair.trim())
    const own = pairs.find((pair) => pair.startsWith(`${this.cookieName}=`))
    return own !== undefined && equal(own.slice(this.cookieName.length + 1), this.#pass)
  }
}

function equal(found: string, expected: string): boolean {
  const [a, b] = [Buffer.from(found), Buffer.from(expected)]
  return a.length === b.length && timingSafeEqual(a, b)
}

/**
 * What the page may load and do. Worker scripts run under the policy they are sent with, the same one.
 *
 * @param styleMark a word of this answer alone, under which the page may add a style sheet of its own
 */
export const pagePolicy = (styleMark?: string): string =>
  [
    "default-src 'none'",
    "script-src 'self'",
    `style-src 'self'${styleMark === undefined ? '' : ` 'nonce-${styleMark}'`}`,
    "img-src 'self' data:",
    "font-src 'self'",
    "connect-src 'self'",
    "worker-src 'self'",
    "frame-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
  ].join('; ')

/** A paper brings its own policy, by hashes; here it is kept from the page it is opened from. */
export const PAPER_POLICY =
  "sandbox allow-scripts allow-popups; frame-ancestors 'self'; base-uri 'none'; form-action 'none'"
