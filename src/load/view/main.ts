// The 3D view of a load plan in the page: runs in the browser, bundled with three.js when the package is built.
import {
  BoxGeometry,
  BufferAttribute,
  BufferGeometry,
  CanvasTexture,
  CylinderGeometry,
  DirectionalLight,
  DoubleSide,
  EdgesGeometry,
  ExtrudeGeometry,
  Group,
  HemisphereLight,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  PerspectiveCamera,
  PlaneGeometry,
  Raycaster,
  Scene,
  Shape,
  SphereGeometry,
  SRGBColorSpace,
  Vector2,
  Vector3,
  WebGLRenderer,
} from 'three'
import type { ViewBox, ViewPiece, ViewScene } from './scene.js'

const m = 1 / 1000
/** From the hold (x to the door, y to the right, z up) to three.js (y up), handedness kept. */
const at = (x: number, y: number, z: number): Vector3 => new Vector3(x * m, z * m, -y * m)
const middle = (b: ViewBox): Vector3 => at(b.x + b.dx / 2, b.y + b.dy / 2, b.z + b.dz / 2)

const ink = '#1d2a2e'
const tint = {
  piece: [0.33, 0.58, 0.62],
  carton: [0.85, 0.68, 0.38],
  before: [0.84, 0.85, 0.84],
  picked: [0.86, 0.33, 0.12],
} as const

function start(): void {
  const box = document.getElementById('view')
  const data = document.getElementById('view-data')?.textContent
  if (!box || !data) return
  const scene = JSON.parse(data) as ViewScene
  try {
    show(box, scene)
  } catch {
    box.classList.add('absent')
    const note = document.getElementById('view-note')
    if (note) {
      note.textContent =
        'This browser does not draw in three dimensions. The pictures and the list below say the same.'
    }
  }
}

function show(box: HTMLElement, load: ViewScene): void {
  const renderer = new WebGLRenderer({ antialias: true, alpha: false, preserveDrawingBuffer: true })
  renderer.setPixelRatio(Math.min(2, window.devicePixelRatio || 1))
  renderer.setClearColor('#f2f4f1')
  const canvas = renderer.domElement
  canvas.tabIndex = 0
  canvas.setAttribute('role', 'application')
  canvas.setAttribute(
    'aria-label',
    'Container in three dimensions. Arrow keys turn, plus and minus zoom, square brackets step through stages, comma and full stop through pieces.',
  )
  box.append(canvas)

  const world = new Scene()
  world.add(new HemisphereLight('#ffffff', '#b9b2a4', 2.1))
  const sun = new DirectionalLight('#ffffff', 1.5)
  sun.position.set(14, 16, -3)
  world.add(sun)
  world.add(shell(load))
  for (const vehicle of load.vehicles) world.add(vehicleOf(vehicle))
  const goods = piecesOf(load)
  world.add(goods.mesh, goods.edges, goods.numbers)
  const centre = new Mesh(
    new SphereGeometry(0.09, 20, 12),
    new MeshBasicMaterial({ color: '#b3261e', depthTest: false }),
  )
  centre.position.copy(at(load.centreOfGravity.x, load.centreOfGravity.y, load.centreOfGravity.z))
  centre.renderOrder = 9
  world.add(centre)

  const camera = new PerspectiveCamera(32, 1, 0.1, 200)
  const target = middle(load.container)
  const first = { turn: 0.98, lift: 0.36, far: Math.max(11, load.container.dx * m * 1.32) }
  const eye = { ...first }
  let stage = load.stages
  let picked = -1

  const draw = (): void => {
    const flat = Math.cos(eye.lift) * eye.far
    camera.position.set(
      target.x + Math.cos(eye.turn) * flat,
      target.y + Math.sin(eye.lift) * eye.far,
      target.z - Math.sin(eye.turn) * flat,
    )
    camera.lookAt(target)
    renderer.render(world, camera)
  }
  const resize = (): void => {
    const width = Math.max(200, box.clientWidth)
    const height = Math.round(Math.min(Math.max(300, width * 0.56), 560))
    renderer.setSize(width, height)
    camera.aspect = width / height
    camera.updateProjectionMatrix()
    draw()
  }
  const said = document.getElementById('view-said')
  const slider = document.getElementById('view-stage') as HTMLInputElement | null
  const tell = (): void => {
    const shown = load.pieces.filter((p) => p.stage <= stage)
    const piece = load.pieces[picked]
    const text =
      piece !== undefined
        ? `Number ${piece.number}: ${piece.name}, stage ${piece.stage}`
        : `Stage ${stage} of ${load.stages}: ${shown.length} of ${load.pieces.length} pieces stand`
    if (said) said.textContent = text
    if (slider) slider.value = String(stage)
  }
  const update = (): void => {
    goods.paint(stage, picked)
    tell()
    draw()
  }
  const toStage = (n: number): void => {
    stage = Math.min(load.stages, Math.max(1, n))
    picked = -1
    update()
  }
  const pick = (index: number): void => {
    if (load.pieces.length === 0) return
    picked = Math.min(load.pieces.length - 1, Math.max(0, index))
    stage = Math.max(stage, load.pieces[picked]?.stage ?? 1)
    update()
  }
  const turn = (by: number, up: number): void => {
    eye.turn += by
    eye.lift = Math.min(1.5, Math.max(-0.1, eye.lift + up))
    draw()
  }
  const zoom = (by: number): void => {
    eye.far = Math.min(60, Math.max(2.5, eye.far * by))
    draw()
  }
  const acts: Readonly<Record<string, () => void>> = {
    left: () => turn(-0.12, 0),
    right: () => turn(0.12, 0),
    up: () => turn(0, 0.1),
    down: () => turn(0, -0.1),
    in: () => zoom(0.87),
    out: () => zoom(1.15),
    'stage-back': () => toStage(stage - 1),
    'stage-on': () => toStage(stage + 1),
    'piece-back': () => pick(picked < 0 ? load.pieces.length - 1 : picked - 1),
    'piece-on': () => pick(picked + 1),
    reset: () => {
      Object.assign(eye, first)
      toStage(load.stages)
    },
  }
  const keys: Readonly<Record<string, string>> = {
    ArrowLeft: 'left',
    ArrowRight: 'right',
    ArrowUp: 'up',
    ArrowDown: 'down',
    '+': 'in',
    '=': 'in',
    '-': 'out',
    _: 'out',
    '[': 'stage-back',
    ']': 'stage-on',
    ',': 'piece-back',
    '.': 'piece-on',
    Home: 'reset',
  }
  canvas.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    const act = acts[keys[event.key] ?? '']
    if (!act) return
    event.preventDefault()
    act()
  })
  for (const button of Array.from(document.querySelectorAll<HTMLButtonElement>('button[data-act]'))) {
    button.addEventListener('click', () => acts[button.dataset.act ?? '']?.())
  }
  slider?.addEventListener('input', () => toStage(Number(slider.value)))
  for (const link of Array.from(document.querySelectorAll<HTMLElement>('[data-show-stage]'))) {
    link.addEventListener('click', () => toStage(Number(link.dataset.showStage)))
  }
  dragging(canvas, turn, (x, y) => pick(hit(x, y)))
  // A wheel belongs to the page until the view has been chosen by a click or the keyboard.
  canvas.addEventListener(
    'wheel',
    (event) => {
      if (document.activeElement !== canvas) return
      event.preventDefault()
      zoom(event.deltaY > 0 ? 1.08 : 0.93)
    },
    { passive: false },
  )
  const caster = new Raycaster()
  const hit = (x: number, y: number): number => {
    const area = canvas.getBoundingClientRect()
    caster.setFromCamera(
      new Vector2(((x - area.left) / area.width) * 2 - 1, 1 - ((y - area.top) / area.height) * 2),
      camera,
    )
    const found = caster.intersectObject(goods.mesh)[0]
    return found?.faceIndex === undefined || found.faceIndex === null ? -1 : Math.floor(found.faceIndex / 12)
  }
  if ('ResizeObserver' in window) new ResizeObserver(resize).observe(box)
  resize()
  update()
  box.classList.add('ready')
}

function dragging(
  canvas: HTMLCanvasElement,
  turn: (by: number, up: number) => void,
  click: (x: number, y: number) => void,
): void {
  let last: { x: number; y: number; moved: number } | undefined
  canvas.style.touchAction = 'pan-y'
  canvas.addEventListener('pointerdown', (event) => {
    last = { x: event.clientX, y: event.clientY, moved: 0 }
    canvas.setPointerCapture(event.pointerId)
  })
  canvas.addEventListener('pointermove', (event) => {
    if (!last) return
    const [dx, dy] = [event.clientX - last.x, event.clientY - last.y]
    last = { x: event.clientX, y: event.clientY, moved: last.moved + Math.abs(dx) + Math.abs(dy) }
    turn(-dx * 0.007, dy * 0.006)
  })
  const end = (event: PointerEvent): void => {
    if (last && last.moved < 5) click(event.clientX, event.clientY)
    last = undefined
  }
  canvas.addEventListener('pointerup', end)
  canvas.addEventListener('pointercancel', () => {
    last = undefined
  })
}

/** Floor, edges and door frame of the container. */
function shell({ container, doorWidthMm, doorHeightMm }: ViewScene): Group {
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
function vehicleOf({ boxes, car, deck }: ViewScene['vehicles'][number]): Group {
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

const lines = (geometry: BufferGeometry): LineSegments =>
  new LineSegments(geometry, new LineBasicMaterial({ color: ink }))

const corners = (b: ViewBox): Vector3[] =>
  [0, 1].flatMap((i) =>
    [0, 1].flatMap((j) => [0, 1].map((k) => at(b.x + i * b.dx, b.y + j * b.dy, b.z + k * b.dz))),
  )

// Corner numbers are 4 i + 2 j + k for x, y, z; each face goes round so that it is seen from outside.
const quads = [
  [4, 6, 7, 5],
  [2, 0, 1, 3],
  [6, 2, 3, 7],
  [0, 4, 5, 1],
  [1, 5, 7, 3],
  [0, 2, 6, 4],
] as const
const rims = [0, 1, 1, 3, 3, 2, 2, 0, 4, 5, 5, 7, 7, 6, 6, 4, 0, 4, 1, 5, 2, 6, 3, 7] as const

interface Goods {
  readonly mesh: Mesh
  readonly edges: LineSegments
  readonly numbers: Mesh
  paint(stage: number, picked: number): void
}

/** All pieces as one body in loading order, so that a stage is a range of it. */
function piecesOf(load: ViewScene): Goods {
  const { pieces } = load
  const positions: number[] = []
  const rimPoints: number[] = []
  for (const piece of pieces) {
    const points = corners(inset(piece, 4))
    for (const [a, b, c, d] of quads) {
      for (const corner of [a, b, c, a, c, d]) positions.push(...(points[corner] as Vector3).toArray())
    }
    for (const corner of rims) rimPoints.push(...(points[corner] as Vector3).toArray())
  }
  const geometry = new BufferGeometry()
  geometry.setAttribute('position', new BufferAttribute(new Float32Array(positions), 3))
  geometry.computeVertexNormals()
  const colours = new BufferAttribute(new Float32Array(pieces.length * 36 * 3), 3)
  geometry.setAttribute('color', colours)
  const mesh = new Mesh(
    geometry,
    new MeshLambertMaterial({
      vertexColors: true,
      polygonOffset: true,
      polygonOffsetFactor: 1,
      polygonOffsetUnits: 1,
    }),
  )
  const rim = new BufferGeometry()
  rim.setAttribute('position', new BufferAttribute(new Float32Array(rimPoints), 3))
  const edges = new LineSegments(rim, new LineBasicMaterial({ color: '#2b3a3d' }))
  const { mesh: numbers, perPiece } = numbersOf(pieces)
  const paint = (stage: number, picked: number): void => {
    const count = pieces.filter((p) => p.stage <= stage).length
    const firstOfStage = stage === load.stages ? 0 : pieces.findIndex((p) => p.stage === stage)
    pieces.forEach((piece, i) => {
      const own = i >= firstOfStage
      const colour = i === picked ? tint.picked : own ? tint[piece.carton ? 'carton' : 'piece'] : tint.before
      for (let v = i * 36; v < (i + 1) * 36; v++) colours.setXYZ(v, colour[0], colour[1], colour[2])
    })
    colours.needsUpdate = true
    geometry.setDrawRange(0, count * 36)
    rim.setDrawRange(0, count * 24)
    const from = Math.max(0, firstOfStage)
    numbers.geometry.setDrawRange(from * perPiece, Math.max(0, count - from) * perPiece)
  }
  return { mesh, edges, numbers, paint }
}

const inset = (b: ViewBox, by: number): ViewBox => ({
  x: b.x + by,
  y: b.y + by,
  z: b.z + (b.z === 0 ? 0 : by / 2),
  dx: Math.max(1, b.dx - 2 * by),
  dy: Math.max(1, b.dy - 2 * by),
  dz: Math.max(1, b.dz - by),
})

/** The loading numbers as small labels on the door side, both long sides and the top of every piece. */
function numbersOf(pieces: readonly ViewPiece[]): { mesh: Mesh; perPiece: number } {
  const side = Math.max(1, Math.ceil(Math.sqrt(pieces.length)))
  const cell = Math.min(96, Math.floor(4096 / side))
  const canvas = document.createElement('canvas')
  canvas.width = side * cell
  canvas.height = side * cell
  const pen = canvas.getContext('2d')
  if (pen) {
    pen.textAlign = 'center'
    pen.textBaseline = 'middle'
    pieces.forEach((p, i) => {
      const text = String(p.number)
      pen.font = `700 ${Math.floor(cell * (text.length > 2 ? 0.5 : 0.6))}px Helvetica, Arial, sans-serif`
      const [x, y] = [((i % side) + 0.5) * cell, (Math.floor(i / side) + 0.54) * cell]
      pen.lineWidth = cell * 0.12
      pen.strokeStyle = 'rgba(255,255,255,0.9)'
      pen.strokeText(text, x, y)
      pen.fillStyle = '#10191b'
      pen.fillText(text, x, y)
    })
  }
  const texture = new CanvasTexture(canvas)
  texture.colorSpace = SRGBColorSpace
  texture.anisotropy = 4
  const positions: number[] = []
  const uvs: number[] = []
  pieces.forEach((p, i) => {
    const u = (i % side) / side
    const v = 1 - (Math.floor(i / side) + 1) / side
    const [cx, cy, cz] = [p.x + p.dx / 2, p.y + p.dy / 2, p.z + p.dz / 2]
    const off = 3
    const label = (o: Vector3, right: Vector3, up: Vector3, room: number): void => {
      const half = (Math.min(room * 0.62, 300) / 2) * m
      const put = (a: number, b: number): number[] =>
        o
          .clone()
          .addScaledVector(right, a * half)
          .addScaledVector(up, b * half)
          .toArray()
      positions.push(...put(-1, -1), ...put(1, -1), ...put(1, 1), ...put(-1, -1), ...put(1, 1), ...put(-1, 1))
      const [u1, v1] = [u + 1 / side, v + 1 / side]
      uvs.push(u, v, u1, v, u1, v1, u, v, u1, v1, u, v1)
    }
    const along = new Vector3(1, 0, 0)
    const up = new Vector3(0, 1, 0)
    const rightHand = new Vector3(0, 0, -1)
    label(at(p.x + p.dx + off, cy, cz), rightHand, up, Math.min(p.dy, p.dz))
    label(at(cx, p.y + p.dy + off, cz), along.clone().negate(), up, Math.min(p.dx, p.dz))
    label(at(cx, p.y - off, cz), along, up, Math.min(p.dx, p.dz))
    label(at(cx, cy, p.z + p.dz + off), rightHand, along.clone().negate(), Math.min(p.dx, p.dy))
  })
  const geometry = new BufferGeometry()
  geometry.setAttribute('position', new BufferAttribute(new Float32Array(positions), 3))
  geometry.setAttribute('uv', new BufferAttribute(new Float32Array(uvs), 2))
  const mesh = new Mesh(
    geometry,
    new MeshBasicMaterial({ map: texture, transparent: true, alphaTest: 0.08, side: DoubleSide }),
  )
  return { mesh, perPiece: 24 }
}

start()
