/**
 * Who stands on whom, and what each piece carries. A piece's mass, with all that stands on it, goes down to its
 * supporters in proportion to the areas of contact. Flat columns, so that a search can copy them cheaply.
 */
export class StackLoads {
  count = 0
  x0: Int32Array
  y0: Int32Array
  x1: Int32Array
  y1: Int32Array
  top: Int32Array
  limit: Float64Array
  mass: Float64Array
  load: Float64Array
  /** Supporters of piece i: rows from[i] to from[i + 1]. */
  from: Int32Array
  by: Int32Array
  share: Float64Array
  private delta: Float64Array
  private readonly touched: number[] = []
  private readonly under: number[] = []
  private readonly area: number[] = []

  constructor(capacity: number) {
    this.x0 = new Int32Array(capacity)
    this.y0 = new Int32Array(capacity)
    this.x1 = new Int32Array(capacity)
    this.y1 = new Int32Array(capacity)
    this.top = new Int32Array(capacity)
    this.limit = new Float64Array(capacity)
    this.mass = new Float64Array(capacity)
    this.load = new Float64Array(capacity)
    this.from = new Int32Array(capacity + 1)
    this.by = new Int32Array(capacity * 4)
    this.share = new Float64Array(capacity * 4)
    this.delta = new Float64Array(capacity)
  }

  copyFrom(other: StackLoads): void {
    const n = other.count
    this.count = n
    for (let i = 0; i < n; i++) {
      this.x0[i] = other.x0[i] as number
      this.y0[i] = other.y0[i] as number
      this.x1[i] = other.x1[i] as number
      this.y1[i] = other.y1[i] as number
      this.top[i] = other.top[i] as number
      this.limit[i] = other.limit[i] as number
      this.mass[i] = other.mass[i] as number
      this.load[i] = other.load[i] as number
      this.from[i + 1] = other.from[i + 1] as number
    }
    const rows = other.from[n] as number
    if (this.by.length < rows) this.growRows(rows)
    for (let r = 0; r < rows; r++) {
      this.by[r] = other.by[r] as number
      this.share[r] = other.share[r] as number
    }
  }

  /** A surface such as a deck: carries at most `limitKg`, weighs nothing itself here. */
  addSurface(x0: number, y0: number, x1: number, y1: number, top: number, limitKg: number): void {
    this.append(x0, y0, x1, y1, top, limitKg, Number.POSITIVE_INFINITY)
    this.from[this.count] = this.from[this.count - 1] as number
  }

  /**
   * Whether columns of boxes may stand here: enough of each base rests on something, nothing beneath is loaded past its
   * limit, and a piece of `heavyFromKg` or more stands on nothing lighter. A column is `high` boxes of `boxKg`.
   */
  allows(
    x: number,
    y: number,
    z: number,
    dx: number,
    dy: number,
    nx: number,
    ny: number,
    high: number,
    boxKg: number,
    heavyFromKg: number,
    supportShare: number,
  ): boolean {
    let good = true
    for (let i = 0; good && i < nx; i++) {
      for (let j = 0; good && j < ny; j++) {
        const total = this.findUnder(x + i * dx, y + j * dy, x + (i + 1) * dx, y + (j + 1) * dy, z)
        if (total < supportShare * dx * dy - 1e-6) good = false
        const n = this.under.length
        for (let u = 0; good && u < n; u++) {
          const s = this.under[u] as number
          if (boxKg >= heavyFromKg && boxKg > (this.mass[s] as number)) good = false
          else good = this.addDelta(s, (high * boxKg * (this.area[u] as number)) / total)
        }
      }
    }
    for (const s of this.touched) this.delta[s] = 0
    this.touched.length = 0
    return good
  }

  /** Puts one column in place; `z` 0 is the container floor. */
  put(
    x: number,
    y: number,
    z: number,
    dx: number,
    dy: number,
    dz: number,
    high: number,
    boxKg: number,
    limitKg: number,
  ): void {
    const onFloor = z === 0
    const total = onFloor ? 0 : this.findUnder(x, y, x + dx, y + dy, z)
    for (let u = 0; !onFloor && u < this.under.length; u++) {
      this.addLoad(this.under[u] as number, (high * boxKg * (this.area[u] as number)) / total)
    }
    for (let k = 0; k < high; k++) {
      const rows = this.from[this.count] as number
      const me = this.count
      this.append(x, y, x + dx, y + dy, z + (k + 1) * dz, limitKg, boxKg)
      this.load[me] = (high - 1 - k) * boxKg
      let end = rows
      if (k > 0) {
        if (this.by.length <= end) this.growRows(end + 1)
        this.by[end] = me - 1
        this.share[end++] = 1
      } else if (!onFloor) {
        if (this.by.length < end + this.under.length) this.growRows(end + this.under.length)
        for (let u = 0; u < this.under.length; u++) {
          this.by[end] = this.under[u] as number
          this.share[end++] = (this.area[u] as number) / total
        }
      }
      this.from[me + 1] = end
    }
  }

  /** Another mass and another limit in the place of a piece, felt by all that carries it. */
  reweigh(i: number, massKg: number, limitKg: number): void {
    const more = massKg - (this.mass[i] as number)
    this.mass[i] = massKg
    this.limit[i] = limitKg
    const end = this.from[i + 1] as number
    for (let r = this.from[i] as number; r < end; r++) {
      this.addLoad(this.by[r] as number, more * (this.share[r] as number))
    }
  }

  /** Whether a piece and all beneath it carry no more than they may, and a heavy piece stands on nothing lighter. */
  bears(i: number, heavyFromKg: number): boolean {
    if ((this.load[i] as number) > (this.limit[i] as number) + 1e-9) return false
    const massKg = this.mass[i] as number
    const end = this.from[i + 1] as number
    for (let r = this.from[i] as number; r < end; r++) {
      const under = this.by[r] as number
      if (massKg >= heavyFromKg && massKg > (this.mass[under] as number)) return false
      if (!this.bears(under, heavyFromKg)) return false
    }
    return true
  }

  private append(
    x0: number,
    y0: number,
    x1: number,
    y1: number,
    top: number,
    limitKg: number,
    massKg: number,
  ): void {
    const i = this.count++
    this.x0[i] = x0
    this.y0[i] = y0
    this.x1[i] = x1
    this.y1[i] = y1
    this.top[i] = top
    this.limit[i] = limitKg
    this.mass[i] = massKg
    this.load[i] = 0
  }

  /** The piece or surface whose top at height `z` lies under this square millimetre, or −1. */
  topAt(x: number, y: number, z: number): number {
    for (let i = 0; i < this.count; i++) {
      if (this.top[i] !== z) continue
      const inX = (this.x0[i] as number) <= x && x < (this.x1[i] as number)
      if (inX && (this.y0[i] as number) <= y && y < (this.y1[i] as number)) return i
    }
    return -1
  }

  /**
   * The rectangle by which a top may be widened on every side: `byMm`, but not into what stands beside it and higher.
   */
  widened(
    x0: number,
    y0: number,
    x1: number,
    y1: number,
    z: number,
    byMm: number,
  ): readonly [number, number, number, number] {
    let [a0, b0, a1, b1] = [x0 - byMm, y0 - byMm, x1 + byMm, y1 + byMm]
    for (let i = 0; i < this.count; i++) {
      if ((this.top[i] as number) <= z) continue
      const [c0, d0, c1, d1] = [
        this.x0[i] as number,
        this.y0[i] as number,
        this.x1[i] as number,
        this.y1[i] as number,
      ]
      if (c0 >= a1 || c1 <= a0 || d0 >= b1 || d1 <= b0) continue
      if (c1 <= x0) a0 = Math.max(a0, c1)
      else if (c0 >= x1) a1 = Math.min(a1, c0)
      else if (d1 <= y0) b0 = Math.max(b0, d1)
      else if (d0 >= y1) b1 = Math.min(b1, d0)
      else return [x0, y0, x1, y1]
    }
    return [a0, b0, a1, b1]
  }

  private findUnder(x0: number, y0: number, x1: number, y1: number, z: number): number {
    const { under, area } = this
    under.length = 0
    area.length = 0
    let total = 0
    for (let i = 0; i < this.count; i++) {
      if (this.top[i] !== z) continue
      const w = Math.min(this.x1[i] as number, x1) - Math.max(this.x0[i] as number, x0)
      if (w <= 0) continue
      const d = Math.min(this.y1[i] as number, y1) - Math.max(this.y0[i] as number, y0)
      if (d <= 0) continue
      under.push(i)
      area.push(w * d)
      total += w * d
    }
    return total
  }

  private addDelta(s: number, kg: number): boolean {
    if (this.delta[s] === 0) this.touched.push(s)
    const d = (this.delta[s] as number) + kg
    this.delta[s] = d
    if ((this.load[s] as number) + d > (this.limit[s] as number) + 1e-9) return false
    const end = this.from[s + 1] as number
    for (let r = this.from[s] as number; r < end; r++) {
      if (!this.addDelta(this.by[r] as number, kg * (this.share[r] as number))) return false
    }
    return true
  }

  private addLoad(s: number, kg: number): void {
    this.load[s] = (this.load[s] as number) + kg
    const end = this.from[s + 1] as number
    for (let r = this.from[s] as number; r < end; r++) {
      this.addLoad(this.by[r] as number, kg * (this.share[r] as number))
    }
  }

  private growRows(atLeast: number): void {
    const size = Math.max(atLeast, this.by.length * 2)
    const by = new Int32Array(size)
    by.set(this.by)
    const share = new Float64Array(size)
    share.set(this.share)
    this.by = by
    this.share = share
  }
}
