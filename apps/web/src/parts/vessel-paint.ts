/** Vessels with their liquid, to scale, drawn on canvas: used by the page and by the film. */
import type { StripSample } from '@beakertide/core/rehearsal'
import type { Vessel } from '@beakertide/core/mixture'
import { sampleAt } from './colour-at.ts'
import { type Inks, liquidHex } from './paint.ts'
import { levelCm, type PlacedVessel, placeVessels, pouredL, scaleBarCm, type VesselShape, vesselShape } from './vessel-shape.ts'

/** A vessel and what is seen in it. */
export interface DrawnVessel {
  readonly vessel: Vessel
  /** Null while its rehearsal is not there yet. */
  readonly strip: readonly StripSample[] | null
}

export interface VesselScene {
  readonly vessels: readonly DrawnVessel[]
  /** Id of the vessel that the page speaks of. */
  readonly chosen: string | null
  readonly timeS: number
  /** For the stirrer's turning; 0 keeps it still. */
  readonly turning: number
}

const HEAD_PX = 14
const FOOT_PX = 30
/** More room at the foot for names under several vessels. */
const NAMES_PX = 22
/** Turns of the stirrer a second of show: drawn slow enough to be seen, no claim about the real one. */
const STIRRER_TURNS = 1.5
/** How long a pour is drawn as falling, s of show. */
const FALLING_S = 1.5

/** Draws the scene into a canvas context of this size. Used by the page and by the film. */
export function paintVessels(context: CanvasRenderingContext2D, scene: VesselScene, widthPx: number, heightPx: number, inks: Inks): void {
  if (scene.vessels.length === 0) return
  const shapes = scene.vessels.map((v) => vesselShape(v.vessel))
  const k = inks.letters
  const footPx = (FOOT_PX + (scene.vessels.length > 1 ? NAMES_PX : 0)) * k
  const { pxPerCm, places } = placeVessels(shapes, { widthPx, heightPx, topPx: HEAD_PX, footPx })
  context.lineJoin = 'round'
  context.fillStyle = inks.line
  context.fillRect(0, heightPx - footPx + 2, widthPx, 1)
  scene.vessels.forEach((v, i) => paintOne(context, v, shapes[i]!, places[i]!, pxPerCm, scene, inks, scene.vessels.length > 1))
  const cm = scaleBarCm(pxPerCm, widthPx / 4)
  const [x, y] = [8, heightPx - 10 * k]
  context.fillStyle = inks.quiet
  context.fillRect(x, y, cm * pxPerCm, 1.5)
  context.fillRect(x, y - 4, 1, 8)
  context.fillRect(x + cm * pxPerCm - 1, y - 4, 1, 8)
  context.font = `${12 * k}px ${inks.font}`
  context.textAlign = 'left'
  context.textBaseline = 'alphabetic'
  context.fillText(`${cm} cm`, x + cm * pxPerCm + 6, y + 4 * k)
}

function paintOne(
  context: CanvasRenderingContext2D,
  drawn: DrawnVessel,
  shape: VesselShape,
  place: PlacedVessel,
  pxPerCm: number,
  scene: VesselScene,
  inks: Inks,
  isNamed: boolean,
): void {
  const { vessel, strip } = drawn
  const { leftPx: left, widthPx: width, floorPx: floor, topPx: top } = place
  const wall = Math.max(2, 0.25 * pxPerCm)
  const corner = Math.min(width / 5, 1.2 * pxPerCm)
  const level = levelCm(pouredL(vessel, scene.timeS), shape.widthCm) * pxPerCm
  const surface = floor - level
  const inside = new Path2D()
  inside.moveTo(left, top - 4)
  inside.lineTo(left, floor - corner)
  inside.quadraticCurveTo(left, floor, left + corner, floor)
  inside.lineTo(left + width - corner, floor)
  inside.quadraticCurveTo(left + width, floor, left + width, floor - corner)
  inside.lineTo(left + width, top - 4)
  context.save()
  context.clip(inside)
  if (level > 0) {
    const sample = strip ? sampleAt(strip, scene.timeS) : null
    if (sample) {
      context.fillStyle = liquidHex(sample.hex, inks.liquid)
      context.fillRect(left, surface, width, level)
    } else {
      context.fillStyle = inks.paper2
      context.fillRect(left, surface, width, level)
    }
    // The surface: a shallow hollow where it is stirred.
    const hollow = shape.stirred ? Math.min(6, width / 18) : 0
    if (hollow > 0) {
      context.fillStyle = inks.paper
      context.beginPath()
      context.moveTo(left, surface - 1)
      context.quadraticCurveTo(left + width / 2, surface + 2 * hollow, left + width, surface - 1)
      context.closePath()
      context.fill()
    }
    context.strokeStyle = inks.lineStrong
    context.lineWidth = 1
    context.beginPath()
    context.moveTo(left, surface)
    context.quadraticCurveTo(left + width / 2, surface + 2 * hollow, left + width, surface)
    context.stroke()
  }
  if (shape.stirred) paintStirrer(context, left + width / 2, floor, width, pxPerCm, scene, inks)
  context.restore()
  const falling = vessel.pours.find((p) => scene.timeS >= p.atS && scene.timeS < p.atS + FALLING_S && p.atS > 0)
  if (falling) {
    context.fillStyle = inks.lineStrong
    context.fillRect(left + width * 0.3 - 1, Math.max(0, top - HEAD_PX), 2.5, surface - Math.max(0, top - HEAD_PX))
  }
  // Glass: the wall outside of the liquid, and the brim.
  context.strokeStyle = inks.ink
  context.lineWidth = Math.max(1.25, wall / 2)
  const off = context.lineWidth / 2
  const brim = shape.brimCm === null ? top : floor - shape.brimCm * pxPerCm
  const outline = new Path2D()
  outline.moveTo(left - off - Math.min(5, width / 14), brim - 3)
  outline.quadraticCurveTo(left - off, brim - 2, left - off, brim + 5)
  outline.lineTo(left - off, floor - corner)
  outline.quadraticCurveTo(left - off, floor + off, left + corner, floor + off)
  outline.lineTo(left + width - corner, floor + off)
  outline.quadraticCurveTo(left + width + off, floor + off, left + width + off, floor - corner)
  outline.lineTo(left + width + off, brim + 5)
  outline.quadraticCurveTo(left + width + off, brim - 2, left + width + off + Math.min(5, width / 14), brim - 3)
  context.stroke(outline)
  if (!isNamed) return
  const isChosen = vessel.id === scene.chosen
  context.font = `${isChosen ? '600 ' : ''}${13 * inks.letters}px ${inks.font}`
  context.fillStyle = isChosen ? inks.ink : inks.quiet
  context.textAlign = 'center'
  context.textBaseline = 'alphabetic'
  context.fillText(
    vessel.count > 1 ? `${vessel.id} × ${vessel.count}` : vessel.id,
    left + width / 2,
    floor + 18 * inks.letters,
    width * 1.25,
  )
  if (isChosen) context.fillRect(left + width * 0.2, floor + 22 * inks.letters, width * 0.6, 2)
}

/** A bar on the floor, seen from the side while it turns: its length swings. */
function paintStirrer(
  context: CanvasRenderingContext2D,
  middle: number,
  floor: number,
  width: number,
  pxPerCm: number,
  scene: VesselScene,
  inks: Inks,
): void {
  const half = Math.min(width * 0.28, 2 * pxPerCm)
  const seen = half * (0.25 + 0.75 * Math.abs(Math.cos(2 * Math.PI * STIRRER_TURNS * scene.turning)))
  const thick = Math.max(3, Math.min(0.7 * pxPerCm, half / 2))
  context.fillStyle = '#f4f4f2'
  context.strokeStyle = inks.quiet
  context.lineWidth = 1
  context.beginPath()
  context.roundRect(middle - seen, floor - thick - 2, 2 * seen, thick, thick / 2)
  context.fill()
  context.stroke()
}
