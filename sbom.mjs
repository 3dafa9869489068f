// The bill of materials of the package (CycloneDX, JSON) on standard output: what `npm ci --omit=dev` installs, on any
// system. `npm sbom --omit=dev` of npm 11 loses half of it because the package links to itself for its notebooks, so
// the whole lock file is asked for and what only its makers need is left out here.
import { spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = dirname(fileURLToPath(import.meta.url))
const made = spawnSync('npm', ['sbom', '--sbom-format', 'cyclonedx', '--package-lock-only'], {
  cwd: root,
  encoding: 'utf8',
  maxBuffer: 100_000_000,
  stdio: ['ignore', 'pipe', 'inherit'],
  shell: process.platform === 'win32',
})
if (made.status !== 0) process.exit(made.status ?? 1)
const bill = JSON.parse(made.stdout)
const { name, packages } = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8'))

const shipped = new Set(
  Object.entries(packages)
    .filter(([path, { dev, link }]) => path !== '' && !dev && !link)
    .map(([path, { version }]) => `${path.replace(/^.*node_modules\//, '')}@${version}`),
)
const own = bill.metadata.component
own.name = name // npm takes the name of the folder
const components = bill.components
  .filter((part) => shipped.has(`${part.name}@${part.version}`))
  .map((part) => ({
    ...part,
    properties: part.properties.filter((property) => property.name !== 'cdx:npm:package:development'),
  }))
const refs = new Set([own['bom-ref'], ...components.map((part) => part['bom-ref'])])
const dependencies = bill.dependencies
  .filter(({ ref }) => refs.has(ref))
  .map(({ ref, dependsOn }) => ({
    ref,
    dependsOn: dependsOn.filter((other) => refs.has(other) && other !== own['bom-ref']),
  }))
process.stdout.write(`${JSON.stringify({ ...bill, components, dependencies }, null, 2)}\n`)
