// What does not move in the view: the container and the vehicles in it.
import {
  BoxGeometry,
  BufferGeometry,
  CylinderGeometry,
  DoubleSide,
  EdgesGeometry,
  ExtrudeGeometry,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshLambertMaterial,
  PlaneGeometry,
  Shape,
} from 'three'
import type { ViewBox, ViewScene } from './scene.js'
import { at, lines, m, middle } from './space.js'

/** Floor, edges and door frame of the container. */
export function shell({ container, doorWidthMm, doorHeightMm }: ViewScene): Group {
  const group = new Group()
  const { dx, dy, dz } = container
  const frame = new LineSegments(
    new EdgesGeometry(new BoxGeometry(dx * m, dz * m, dy * m)),
    new LineBasicMaterial({ color: '#5a6a68' }),
  )
  frame.position.copy(middle(container))
  const floor = new Mesh(
    new PlaneGeometry(dx * m, dy * m),
    new MeshLambertMaterial({ color: '#d8cdb8', side: DoubleSide }),
  )
  floor.rotation.x = -Math.PI / 2
  floor.position.copy(at(dx / 2, dy / 2, -6))
  const front = new Mesh(
    new PlaneGeometry(dy * m, dz * m),
    new MeshLambertMaterial({ color: '#e9ece9', side: DoubleSide }),
  )
  front.rotation.y = Math.PI / 2
  front.position.copy(at(-6, dy / 2, dz / 2))
  const left = (dy - doorWidthMm) / 2
  const door = [
    at(dx, left, 0),
    at(dx, left, doorHeightMm),
    at(dx, left, doorHeightMm),
    at(dx, left + doorWidthMm, doorHeightMm),
    at(dx, left + doorWidthMm, doorHeightMm),
    at(dx, left + doorWidthMm, 0),
  ]
  const opening = new LineSegments(
    new BufferGeometry().setFromPoints(door),
    new LineBasicMaterial({ color: '#8c3f1c' }),
  )
  group.add(frame, floor, front, opening)
  return group
}

/** A car as a side view drawn out over its width, inside its outline; other vehicles as their box. */
export function vehicleOf({ boxes, car, deck }: ViewScene['vehicles'][number]): Group {
  const group = new Group()
  const paint = new MeshLambertMaterial({ color: '#66737a' })
  const [bonnet, cabin, boot] = boxes
  if (car && bonnet && cabin && boot) {
    const y0 = 0.16
    const high = (b: ViewBox): number => b.dz * m
    const shape = new Shape()
    shape.moveTo(0, y0)
    shape.lineTo(0, high(bonnet) * 0.82)
    shape.lineTo(bonnet.dx * m, high(bonnet))
    shape.lineTo((bonnet.dx + cabin.dx * 0.22) * m, high(cabin))
    shape.lineTo((bonnet.dx + cabin.dx * 0.86) * m, high(cabin) * 0.99)
    shape.lineTo((bonnet.dx + cabin.dx) * m, high(boot))
    shape.lineTo((bonnet.dx + cabin.dx + boot.dx) * m, high(boot) * 0.88)
    shape.lineTo((bonnet.dx + cabin.dx + boot.dx) * m, y0)
    const body = new ExtrudeGeometry(shape, { depth: bonnet.dy * m, bevelEnabled: false })
    body.translate(bonnet.x * m, 0, -(bonnet.y + bonnet.dy) * m)
    group.add(new Mesh(body, paint), lines(new EdgesGeometry(body, 25)))
    const long = (bonnet.dx + cabin.dx + boot.dx) * m
    for (const share of [0.19, 0.8]) {
      for (const side of [bonnet.y + 90, bonnet.y + bonnet.dy - 90]) {
        const wheel = new Mesh(
          new CylinderGeometry(0.31, 0.31, 0.19, 28),
          new MeshLambertMaterial({ color: '#23292c' }),
        )
        wheel.rotation.x = Math.PI / 2
        wheel.position.set(bonnet.x * m + long * share, 0.31, -side * m)
        group.add(wheel)
      }
    }
  } else {
    for (const b of boxes) {
      const solid = new BoxGeometry(b.dx * m, b.dz * m, b.dy * m)
      const mesh = new Mesh(solid, paint)
      const edges = lines(new EdgesGeometry(solid))
      mesh.position.copy(middle(b))
      edges.position.copy(middle(b))
      group.add(mesh, edges)
    }
  }
  if (deck) {
    const boards = new Mesh(
      new BoxGeometry(deck.dx * m, deck.dz * m, deck.dy * m),
      new MeshLambertMaterial({ color: '#b28a52', transparent: true, opacity: 0.72 }),
    )
    boards.position.copy(middle(deck))
    group.add(boards)
  }
  return group
}
