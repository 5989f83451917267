/**
 * Fills `out` with y(θ) of one step; formula in StepKernel.dense. Where a component would lie below its floor and below
 * both ends, the whole vector is mixed with the straight line between the ends, just enough to lift it: every
 * linear invariant of the two ends is kept, which clipping would break. Only the first `wanted` components are worked out, and looked at.
 */
export function evaluateStep(
  size: number,
  rows: number,
  theta: number,
  start: Float64Array,
  startAt: number,
  end: Float64Array,
  endAt: number,
  dense: Float64Array,
  denseAt: number,
  floor: Float64Array,
  out: Float64Array,
  wanted: number = size,
): void {
  const rest = 1 - theta
  const bow = theta * rest
  let mix = 0
  for (let k = 0; k < wanted; k++) {
    let sum = 0
    for (let q = rows - 1; q >= 0; q--) sum = sum * theta + dense[denseAt + q * size + k]!
    const line = rest * start[startAt + k]! + theta * end[endAt + k]!
    const value = line + bow * sum
    if (value < floor[k]!) {
      // An end may lie below the floor by what holding the totals has moved it; between the ends nothing lies below both.
      const lowest = Math.min(floor[k]!, start[startAt + k]!, end[endAt + k]!)
      const share = value < lowest ? (lowest - value) / (line - value) : 0
      if (share > mix) mix = share
    }
    out[k] = value
  }
  if (mix === 0) return
  for (let k = 0; k < wanted; k++) {
    const line = rest * start[startAt + k]! + theta * end[endAt + k]!
    out[k] = out[k]! + mix * (line - out[k]!)
  }
}

/**
 * The steps of a run, in typed arrays that double. A record is the state at the start of a step and its dense rows; every
 * stretch between breaks is closed by a record that holds only its end, so the end of a step is the next record's state.
 */
export interface StepStore {
  readonly count: number
  /** Adds a record; `dense` is null for the one that closes a stretch. False when there is no room left. */
  add(timeS: number, hS: number, state: Float64Array, dense: Float64Array | null): boolean
  at(timeS: number, out: Float64Array, side: 'before' | 'after'): void
  times(): Float64Array
}

const FIRST_RECORDS = 256
const CLOSING_ROOM = 16
const BYTES_PER_NUMBER = 8

/** Room for steps of `size` components and `rows` dense rows, up to `mostBytes`. */
export function createStepStore(size: number, rows: number, floor: Float64Array, mostBytes: number, expected: number): StepStore {
  const stride = size * (rows + 1)
  const bytesPerRecord = BYTES_PER_NUMBER * (stride + 2)
  const mostRecords = Math.max(2, Math.floor(mostBytes / bytesPerRecord))
  let room = Math.min(mostRecords, Math.max(FIRST_RECORDS, expected))
  let records = new Float64Array(room * stride)
  let times = new Float64Array(room)
  let lengths = new Float64Array(room)
  let count = 0

  function grow(closing: boolean): boolean {
    if (room >= mostRecords && !closing) return false
    // A closing record always finds room, so that every stored step has its end.
    room = room >= mostRecords ? room + CLOSING_ROOM : Math.min(mostRecords, room * 2)
    const kept = records
    records = new Float64Array(room * stride)
    records.set(kept)
    const keptTimes = times
    times = new Float64Array(room)
    times.set(keptTimes)
    const keptLengths = lengths
    lengths = new Float64Array(room)
    lengths.set(keptLengths)
    return true
  }

  /** Last record that starts at or before (after: `before` excludes equality) the time; at least 0. */
  function locate(timeS: number, before: boolean): number {
    let low = 0
    let high = count - 1
    while (low < high) {
      const middle = (low + high + 1) >> 1
      const starts = times[middle]!
      if (before ? starts < timeS : starts <= timeS) low = middle
      else high = middle - 1
    }
    return low
  }

  return {
    get count() {
      return count
    },
    add(timeS, hS, state, dense) {
      if (count === room && !grow(dense === null)) return false
      const base = count * stride
      for (let k = 0; k < size; k++) records[base + k] = state[k]!
      if (dense !== null) {
        const wide = rows * size
        for (let k = 0; k < wide; k++) records[base + size + k] = dense[k]!
      }
      times[count] = timeS
      lengths[count] = hS
      count++
      return true
    },
    at(timeS, out, side) {
      const r = locate(timeS, side === 'before')
      const base = r * stride
      const length = lengths[r]!
      if (length === 0) {
        for (let k = 0; k < size; k++) out[k] = records[base + k]!
        return
      }
      const theta = Math.min(1, Math.max(0, (timeS - times[r]!) / length))
      evaluateStep(size, rows, theta, records, base, records, base + stride, records, base + size, floor, out)
    },
    times() {
      return times.slice(0, count)
    },
  }
}

/**
 * Fills the rows of a step's dense output: row q of component k is the sum over the stages j of weights[q][j] u[k][j].
 * `weights` holds `rows` x `stages`, `u` holds `size` x `stages` with the stages of one component side by side.
 */
export function fillDenseRows(
  rows: number,
  stages: number,
  size: number,
  weights: Float64Array,
  u: Float64Array,
  dense: Float64Array,
): void {
  for (let q = 0; q < rows; q++) {
    const row = q * stages
    for (let k = 0; k < size; k++) {
      const base = k * stages
      let sum = 0
      for (let j = 0; j < stages; j++) sum += weights[row + j]! * u[base + j]!
      dense[q * size + k] = sum
    }
  }
}
