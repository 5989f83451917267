/** The outline of a vessel drawn to scale. A document states what it holds and the depth looked through; nothing else is known of its form. */
import type { Vessel } from '@beakertide/core/mixture'

export interface VesselShape {
  /** Inner width, cm: the depth of liquid looked through, taken for the diameter of a round vessel. */
  readonly widthCm: number
  /** Height of the brim above the floor, cm; null when it is not stated what it holds. */
  readonly brimCm: number | null
  /** Height to draw when the brim is not known: a third above the fullest level. */
  readonly drawnCm: number
  readonly stirred: boolean
}

const LITRE_CM3 = 1000
/** Free height above the liquid where the brim is not stated, as a share of the fullest level; drawing only. */
const FREE_SHARE = 1.35

/** Height of a volume in a round vessel of this width, cm. */
export const levelCm = (volumeL: number, widthCm: number): number => (volumeL * LITRE_CM3) / (Math.PI * (widthCm / 2) ** 2)

/** Volume in the vessel at a time: what has been poured until then, L. */
export function pouredL(vessel: Pick<Vessel, 'pours'>, timeS: number): number {
  return vessel.pours.reduce((sum, p) => sum + (p.atS <= timeS ? p.volumeL : 0), 0)
}

export function vesselShape(vessel: Vessel): VesselShape {
  const widthCm = vessel.depthCm
  const full = levelCm(
    vessel.pours.reduce((sum, p) => sum + p.volumeL, 0),
    widthCm,
  )
  const brimCm = vessel.capacityL === null ? null : levelCm(vessel.capacityL, widthCm)
  return { widthCm, brimCm, drawnCm: Math.max(brimCm ?? FREE_SHARE * full, full), stirred: vessel.stirred }
}

export interface PlacedVessel {
  readonly leftPx: number
  readonly widthPx: number
  readonly floorPx: number
  readonly topPx: number
}

/** Vessels side by side on one floor, all to the same scale, as large as fits. Returns px a cm too. */
export function placeVessels(
  shapes: readonly VesselShape[],
  room: { readonly widthPx: number; readonly heightPx: number; readonly topPx: number; readonly footPx: number },
): { readonly pxPerCm: number; readonly places: readonly PlacedVessel[] } {
  const wide = shapes.reduce((sum, s) => sum + s.widthCm, 0)
  const tall = Math.max(...shapes.map((s) => s.drawnCm))
  // Between vessels and at the sides a quarter of the narrowest.
  const gapCm = Math.min(...shapes.map((s) => s.widthCm)) / 4
  const across = wide + gapCm * (shapes.length + 1)
  const pxPerCm = Math.min(room.widthPx / across, (room.heightPx - room.topPx - room.footPx) / tall)
  const floorPx = room.heightPx - room.footPx
  let at = (room.widthPx - across * pxPerCm) / 2 + gapCm * pxPerCm
  const places = shapes.map((s) => {
    const place = { leftPx: at, widthPx: s.widthCm * pxPerCm, floorPx, topPx: floorPx - s.drawnCm * pxPerCm }
    at += (s.widthCm + gapCm) * pxPerCm
    return place
  })
  return { pxPerCm, places }
}

/** A round length for a scale bar of at most `mostPx`. */
export function scaleBarCm(pxPerCm: number, mostPx: number): number {
  return [0.5, 1, 2, 5, 10, 20].findLast((cm) => cm * pxPerCm <= mostPx) ?? 0.5
}
