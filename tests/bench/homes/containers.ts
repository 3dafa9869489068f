import { join } from 'node:path'
import type { Hold } from '../../../src/stowage/index.js'
import { type Reference, readFolder, readReference } from '../../../src/tables/index.js'

/** The reference tables of the repository in which the command is called. */
export async function reference(): Promise<Reference> {
  const files = await readFolder(join(process.cwd(), 'data/reference'))
  const read = files.ok ? readReference(files.value) : files
  if (!read.ok) throw new Error(read.problems.map((p) => `${p.file}: ${p.expected}`).join('\n'))
  return read.value
}

/** Containers as containers.csv has them, smallest inside first. */
export function holds({ containers }: Reference): Hold[] {
  const mm = (value: { toNumber(): number }): number => Math.floor(value.toNumber())
  const volume = (h: Hold): number => h.lengthMm * h.widthMm * h.heightMm
  return containers
    .map(
      (c): Hold => ({
        id: c.id,
        lengthMm: mm(c.inside_length_mm),
        widthMm: mm(c.inside_width_mm),
        heightMm: mm(c.inside_height_mm),
        doorWidthMm: mm(c.door_width_mm),
        doorHeightMm: mm(c.door_height_mm),
        payloadKg: c.max_gross_kg.toNumber() - c.tare_kg.toNumber(),
        lineLoadKgPerM: c.line_load_kg_per_m.toNumber(),
        balanceShare: 0.05,
      }),
    )
    .sort((a, b) => volume(a) - volume(b))
}
