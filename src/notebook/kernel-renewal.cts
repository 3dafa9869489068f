// Whether a notebook has left its process as it found it, so that the next one may run there as in a new one.
//
// What is looked at is what a cell can reach and change for good: globals and what is built in, the environment, open
// handles, modules with a state of their own. Whatever cannot be judged counts as left behind: a needless new
// process costs seconds, a leak would cost the truth.
type Property = readonly [owner: object, key: PropertyKey, found: PropertyDescriptor]

const NAMESPACES = [Math, JSON, Reflect, Atomics, Intl, console, globalThis]

/** Every property that is built in, with what it holds. */
function properties(): readonly Property[] {
  const owners = new Set<object>(NAMESPACES)
  for (const key of Reflect.ownKeys(globalThis)) {
    const value: unknown = Reflect.getOwnPropertyDescriptor(globalThis, key)?.value
    if (typeof value !== 'function') continue
    owners.add(value)
    if (typeof value.prototype === 'object' && value.prototype !== null) owners.add(value.prototype)
  }
  return [...owners].flatMap((owner) =>
    Reflect.ownKeys(owner).map(
      (key): Property => [owner, key, Reflect.getOwnPropertyDescriptor(owner, key) ?? {}],
    ),
  )
}

const surroundings = (): string =>
  JSON.stringify([
    process.cwd(),
    process.exitCode,
    process.env,
    // Sorted: listening for an interrupt begins anew with each cell.
    process
      .eventNames()
      .map((name) => `${String(name)} ${process.listenerCount(name)}`)
      .sort(),
    // The compiler watches the files it has read. A cell that wants to do so needs a module that counts as kept.
    process
      .getActiveResourcesInfo()
      .filter((kind) => kind !== 'FSEventWrap' && kind !== 'StatWatcher')
      .sort(),
  ])

/** A process as it stands, to be compared later. */
interface Standing {
  readonly properties: readonly Property[]
  readonly surroundings: string
}

const standing = (): Standing => ({ properties: properties(), surroundings: surroundings() })

/** What is not as it was, in a few words for whoever looks into it; nothing where all is. */
function leftBehind(before: Standing): string | undefined {
  const now = standing()
  if (now.surroundings !== before.surroundings) return 'environment, listeners or open handles'
  const known = new Map<object, Map<PropertyKey, PropertyDescriptor>>()
  for (const [owner, key, found] of before.properties) {
    known.set(owner, (known.get(owner) ?? new Map<PropertyKey, PropertyDescriptor>()).set(key, found))
  }
  let met = 0
  const changed = now.properties.find(([owner, key, found]) => {
    const properties = known.get(owner)
    const earlier = properties?.get(key)
    if (earlier) met += 1
    // What belongs to a global that Node has made meanwhile has no earlier state.
    return properties !== undefined && !(earlier ? isSame(owner, earlier, found) : isOurs(owner, key))
  })
  if (changed) return `the property ${String(changed[1])}`
  return met === before.properties.length ? undefined : 'a property that is gone'
}

/** What packages of ours add when they are first used: the settings of zod, and how vega-lite writes a set. */
const isOurs = (owner: object, key: PropertyKey): boolean =>
  (owner === globalThis && /^__zod_global/.test(String(key))) || (owner === Set.prototype && key === 'toJSON')

function isSame(owner: object, earlier: PropertyDescriptor, now: PropertyDescriptor): boolean {
  if (earlier.get === now.get) return earlier.set === now.set && Object.is(earlier.value, now.value)
  // Node puts off making some globals until they are read, and then puts them in place of what made them.
  return earlier.get !== undefined && now.get === undefined && earlier.get.call(owner) === now.value
}

/** Modules through which a cell reaches nothing that outlives it: the package, tslab, and pure ones of Node. */
const isStateless = (name: string): boolean =>
  /^(quaybook|tslab)(\/|$)|^(node:)?(assert|path|url|util)$/.test(name)

export = { standing, leftBehind, isStateless }
