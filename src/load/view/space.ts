// From the hold to the space of three.js, and how edges are drawn there.
import { type BufferGeometry, LineBasicMaterial, LineSegments, Vector3 } from 'three'
import type { ViewBox } from './scene.js'

export const m = 1 / 1000
/** From the hold (x to the door, y to the right, z up) to three.js (y up), handedness kept. */
export const at = (x: number, y: number, z: number): Vector3 => new Vector3(x * m, z * m, -y * m)
export const middle = (b: ViewBox): Vector3 => at(b.x + b.dx / 2, b.y + b.dy / 2, b.z + b.dz / 2)

export const ink = '#1d2a2e'
export const lines = (geometry: BufferGeometry): LineSegments =>
  new LineSegments(geometry, new LineBasicMaterial({ color: ink }))
