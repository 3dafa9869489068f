// The 3D view of a load plan in the page: runs in the browser, bundled with three.js when the package is built.
import {
  DirectionalLight,
  HemisphereLight,
  Mesh,
  MeshBasicMaterial,
  PerspectiveCamera,
  Raycaster,
  Scene,
  SphereGeometry,
  Vector2,
  WebGLRenderer,
} from 'three'
import { piecesOf } from './goods.js'
import type { ViewScene } from './scene.js'
import { at, m, middle } from './space.js'
import { shell, vehicleOf } from './still.js'

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

start()
