/** Vessels and pours as written, made drawable and orderable. Free of the framework. */
import { parseQuantity, type QuantityKind } from '@beakertide/basis/units'
import type { WrittenPour, WrittenVessel } from '@beakertide/demonstration/edit'
import { levelCm } from './vessel-shape.ts'

/** Depth taken where none is written; the reader of documents warns of it. */
const ASSUMED_DEPTH_CM = 5

const valueOf = (text: string, kind: QuantityKind): number | null => {
  const read = text === '' ? null : parseQuantity(text, [kind], {})
  return read?.ok ? read.value.value : null
}

export interface PlannedPour {
  readonly solution: string
  readonly volumeL: number
  readonly atS: number
  /** Position in the vessel's own list. */
  readonly index: number
}
export interface PlannedVessel {
  readonly id: string
  readonly holdsL: number | null
  readonly widthCm: number
  readonly count: number
  readonly pours: readonly PlannedPour[]
}

/** What a vessel takes over from the one it is like, as the reader of documents does. */
export function plannedVessels(vessels: readonly WrittenVessel[]): readonly PlannedVessel[] {
  const planned: PlannedVessel[] = []
  const own = new Map<string, readonly WrittenPour[]>()
  for (const v of vessels) {
    const model = planned.find((p) => p.id === v.like)
    const pours = v.pours ?? own.get(v.like) ?? []
    own.set(v.id, pours)
    const startS = valueOf(v.startsAt, 'time') ?? 0
    planned.push({
      id: v.id,
      holdsL: valueOf(v.holds, 'volume') ?? model?.holdsL ?? null,
      widthCm: valueOf(v.depth, 'length') ?? model?.widthCm ?? ASSUMED_DEPTH_CM,
      count: Number(v.count) > 0 ? Number(v.count) : 1,
      pours: pours
        .map((p, index) => ({
          solution: p.pour,
          volumeL: valueOf(p.volume, 'volume') ?? 0,
          atS: (valueOf(p.at, 'time') ?? 0) + startS,
          index,
        }))
        .sort((a, b) => a.atS - b.atS || a.index - b.index),
    })
  }
  return planned
}

export interface Level {
  readonly solution: string
  readonly volumeL: number
  readonly atS: number
  /** Height of the liquid after this pour, cm. */
  readonly cm: number
}

/** Heights of the liquid after each pour. */
export function levelsOf(vessel: PlannedVessel): readonly Level[] {
  let sumL = 0
  return vessel.pours.map((p) => {
    sumL += p.volumeL
    return { solution: p.solution, volumeL: p.volumeL, atS: p.atS, cm: levelCm(sumL, vessel.widthCm) }
  })
}

export const filledL = (vessel: PlannedVessel): number => vessel.pours.reduce((sum, p) => sum + p.volumeL, 0)

/** All pours of all vessels in the order of the clock; at one time in the order of the document. */
export function clockOrder(vessels: readonly PlannedVessel[]): readonly { readonly vessel: string; readonly pour: PlannedPour }[] {
  return vessels.flatMap((v) => v.pours.map((pour) => ({ vessel: v.id, pour }))).sort((a, b) => a.pour.atS - b.pour.atS)
}

/** The list with one pour moved by one place; the same list when there is no such place. */
export function moved<T>(list: readonly T[], index: number, by: -1 | 1): readonly T[] {
  const to = index + by
  if (to < 0 || to >= list.length) return list
  const next = [...list]
  ;[next[index], next[to]] = [next[to]!, next[index]!]
  return next
}

/** A pour as documents write it. */
export function pourValue(p: WrittenPour): string | { readonly [key: string]: string } {
  const at = p.at === '' || /^0(?:\s|$)/.test(p.at) ? '' : ` at ${p.at}`
  if (p.temperature === '') return `${p.volume} of ${p.pour}${at}`
  return { pour: p.pour, volume: p.volume, ...(at === '' ? {} : { at: p.at }), temperature: p.temperature }
}

/** Arm's length, cm; a thumb held so is about 2 cm wide (memory). */
export const ARM_CM = 60
/** How wide a thing looks: as wide as this at arm's length, cm. */
export function widthAtArm(widthCm: number, distanceM: number): number {
  return (widthCm / (distanceM * 100)) * ARM_CM
}

/** A name that is free: "vessel", "vessel 2" … */
export function freeName(base: string, taken: readonly string[]): string {
  for (let n = 1; ; n++) {
    const name = n === 1 ? base : `${base} ${n}`
    if (!taken.includes(name)) return name
  }
}
