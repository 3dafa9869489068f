import type { LoadPlan } from '../stowage/packing/index.js'
import type { LoadPiece, LoadVehicle, VehiclePlace } from '../stowage/pieces/index.js'
import type { NumberedCarton } from '../volume/carton-list.js'
import type { LoadHold } from './hold-of.js'

/** How long to look for a load plan, and in what. All may be left out. */
export interface LoadOptions {
  /** Only this size type; else every container, smallest first, until one takes everything. */
  readonly container?: string
  /** Time for all of it, s, by `now` in milliseconds. */
  readonly seconds?: number
  readonly now?: () => number
  /** Work for one container instead of time: the same on every machine, so that a run can be repeated. */
  readonly work?: number
  readonly seed?: number
  /** Asked again and again; true ends with the best plan so far. */
  readonly stop?: () => boolean
  readonly onProgress?: (progress: LoadProgress) => void
}

/** Where a packing begins and how it is told to end, as far as the options say. */
export const startAndStop = ({ seed, stop }: LoadOptions): Pick<LoadOptions, 'seed' | 'stop'> => ({
  ...(seed === undefined ? {} : { seed }),
  ...(stop === undefined ? {} : { stop }),
})

/** How far the search has come. */
export interface LoadProgress {
  readonly container: string
  readonly placed: number
  readonly pieces: number
  readonly volumeShare: number
}

/** What came of one container. */
export interface Trial {
  readonly container: string
  readonly label: string
  /** `all`: everything goes in; `some`: the best found leaves things; `impossible`: proven; `vehicle`: it does not pass. */
  readonly outcome: 'all' | 'some' | 'impossible' | 'vehicle' | 'not tried'
  readonly text: string
  readonly placed: number
  readonly volumeShare: number
}

/** One packed container. */
export interface LoadedContainer {
  readonly hold: LoadHold
  readonly vehiclePlace?: VehiclePlace
  readonly plan: LoadPlan
}

/** A load plan with all that is needed to show it. Plain data: it can be sent between threads and written as JSON. */
export interface LoadResult {
  readonly scenario: string
  readonly pieces: readonly LoadPiece[]
  readonly cartons: readonly NumberedCarton[]
  readonly vehicles: readonly LoadVehicle[]
  /** The container with the vehicles; what it leaves is in `more`, if that was asked for. */
  readonly first: LoadedContainer
  /** Further containers for what the first one leaves. */
  readonly more: readonly LoadedContainer[]
  /** Ids of the pieces that go by the share that the scenario books beside its container; empty where it books none. */
  readonly byShare: readonly string[]
  /** Everything is stowed, in the first or in all of them together, or goes by the booked share. */
  readonly complete: boolean
  /** The carriage that the scenario books, such as `45G1+groupage`; nothing where it books no container. */
  readonly booked?: string
  readonly trials: readonly Trial[]
  /** Blocks moved into place in the search for the first container: with this budget the plan comes out again. */
  readonly workUsed: number
  readonly workAllowed: number
  /** Plans that the check refused. */
  readonly discarded: number
  /** A sentence for each smaller container that is proven too small; nothing when one is not ruled out. */
  readonly proof?: readonly string[]
}
