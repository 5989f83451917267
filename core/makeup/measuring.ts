/** Which tool takes or holds a volume, what can be read on it, and how far to trust it. */
import { formatNumber } from '@beakertide/basis/units'
import { type GlassKind, type GlassPiece, type Glassware, pieceName, readableStepL, volumeUncertaintyL } from './glassware.ts'
import { quadrature } from './uncertainty.ts'
import { decimalsOf } from './weighing.ts'

/** The liquid may be this far from the temperature it is counted at, plus or minus, K: assumed (a stated room, a liquid that has stood in it). */
export const TEMPERATURE_SPREAD_K = 2

/** A volume as the tool can be read to. */
export interface Measured {
  readonly shownL: number
  /** The smallest step the tool can be read to, L; 0 on one-mark ware. */
  readonly stepL: number
  /** Standard uncertainty, L. */
  readonly uncertaintyL: number
  readonly tool: string
  /** How to come closer, with numbers; empty when nothing is better. */
  readonly better: readonly string[]
}

export interface Measuring {
  readonly glassClass: 'A' | 'B' | 'indicative'
  readonly ware: Glassware
  /** Expansion of the liquid, 1/K. */
  readonly expansionPerK: number
  /** The simplest tool with a relative standard uncertainty below this is taken. */
  readonly enoughRelative: number
  /** Strong acids: no burette with a tap, no tool sucked by mouth. */
  readonly corrosive: boolean
}

/** A volume this near to a pipette's is that pipette's, relative. */
const SAME_VOLUME = 1e-3
/** A scale is not used below this share of its capacity: common practice, no source. */
const LOWEST_SHARE: Partial<Record<GlassKind, number>> = {
  'measuring cylinder': 0.2,
  'graduated pipette': 0.1,
  burette: 0.1,
  syringe: 0.2,
  beaker: 0.5,
  'transfer pipette': 0.5,
}
/** Simplest first. */
const toolsByClass: Readonly<Record<Measuring['glassClass'], readonly GlassKind[]>> = {
  A: ['measuring cylinder', 'bulb pipette', 'graduated pipette', 'burette'],
  B: ['measuring cylinder', 'bulb pipette', 'graduated pipette', 'burette'],
  indicative: ['syringe', 'transfer pipette', 'beaker'],
}

interface Candidate {
  readonly tool: string
  readonly shownL: number
  readonly stepL: number
  readonly uncertaintyL: number
  readonly rank: number
}

const mL = (volumeL: number): string => `${formatNumber(volumeL * 1000, 4)} mL`
const roundTo = (volumeL: number, stepL: number): number =>
  stepL > 0 ? Number((Math.round(volumeL / stepL) * stepL).toPrecision(12)) : volumeL

/** Pieces of the owner's class (a class B owner has cylinders of class B …; "indicative" ware has no class). */
function piecesFor(how: Measuring, kind: GlassKind): readonly GlassPiece[] {
  return how.ware.pieces
    .filter((p) => p.kind === kind && (p.class === how.glassClass || p.class === 'indicative'))
    .sort((a, b) => a.capacityL - b.capacityL)
}

function onScale(piece: GlassPiece, volumeL: number, how: Measuring, rank: number): Candidate | null {
  const lowest = (LOWEST_SHARE[piece.kind] ?? 0) * piece.capacityL
  if (volumeL < lowest * (1 - 1e-9) || volumeL > piece.capacityL * (1 + 1e-9)) return null
  return {
    tool: pieceName(piece),
    shownL: roundTo(volumeL, readableStepL(piece)),
    stepL: readableStepL(piece),
    uncertaintyL: volumeUncertaintyL(piece, volumeL, TEMPERATURE_SPREAD_K, how.expansionPerK),
    rank,
  }
}

/** One bulb pipette, or two that add up. */
function byPipettes(volumeL: number, how: Measuring, rank: number): readonly Candidate[] {
  const pipettes = piecesFor(how, 'bulb pipette')
  const near = (sumL: number): boolean => Math.abs(sumL / volumeL - 1) <= SAME_VOLUME
  const u = (p: GlassPiece): number => volumeUncertaintyL(p, p.capacityL, TEMPERATURE_SPREAD_K, how.expansionPerK)
  const one = pipettes
    .filter((p) => near(p.capacityL))
    .map((p) => ({ tool: pieceName(p), shownL: p.capacityL, stepL: 0, uncertaintyL: u(p), rank }))
  if (one.length > 0) return one
  return pipettes.flatMap((a, i) =>
    pipettes
      .slice(i)
      .filter((b) => near(a.capacityL + b.capacityL))
      .map((b) => ({
        tool: `${pieceName(b)} and ${pieceName(a)}, one after the other`,
        shownL: a.capacityL + b.capacityL,
        stepL: 0,
        uncertaintyL: quadrature([u(a), u(b)]),
        rank: rank + 0.5,
      })),
  )
}

/** Largest piece of the simplest scale, filled several times. */
function inSeveral(volumeL: number, how: Measuring): Candidate | null {
  const kind: GlassKind = how.glassClass === 'indicative' ? 'beaker' : 'measuring cylinder'
  const piece = piecesFor(how, kind).at(-1)
  if (!piece || volumeL <= piece.capacityL) return null
  const fillings = Math.ceil(volumeL / piece.capacityL - 1e-9)
  return {
    tool: `${pieceName(piece)}, filled ${fillings} times`,
    shownL: roundTo(volumeL, readableStepL(piece)),
    stepL: readableStepL(piece),
    // the same piece errs the same way each time: its limit adds up, it does not average
    uncertaintyL: fillings * volumeUncertaintyL(piece, volumeL / fillings, TEMPERATURE_SPREAD_K, how.expansionPerK),
    rank: 9,
  }
}

/** What a pipette between two sizes suggests: make the batch fit the pipette. */
function fitThePipette(volumeL: number, how: Measuring): readonly string[] {
  const pipettes = piecesFor(how, 'bulb pipette').filter((p) => p.capacityL >= 1e-3)
  const above = pipettes.find((p) => p.capacityL > volumeL)
  const below = [...pipettes].reverse().find((p) => p.capacityL < volumeL)
  if (!above || !below) return []
  return [
    `${mL(volumeL)} lies between the bulb pipettes of ${mL(below.capacityL)} and ${mL(above.capacityL)}: with ${mL(above.capacityL)} make ${formatNumber(above.capacityL / volumeL, 4)} times the volume of solution`,
  ]
}

/**
 * How to take `volumeL`: the simplest tool of the owner's class that is good enough, else the most exact one.
 * Volumes too small for every tool are given to the smallest scale there is, with the uncertainty that follows.
 */
export function measure(volumeL: number, how: Measuring): Measured {
  const candidates: Candidate[] = []
  toolsByClass[how.glassClass].forEach((kind, rank) => {
    if (how.corrosive && kind === 'burette') return
    if (kind === 'bulb pipette') candidates.push(...byPipettes(volumeL, how, rank))
    else candidates.push(...piecesFor(how, kind).flatMap((p) => onScale(p, volumeL, how, rank) ?? []))
  })
  const several = inSeveral(volumeL, how)
  if (several) candidates.push(several)
  const finest = (list: readonly Candidate[]): Candidate | undefined =>
    [...list].sort((a, b) => a.uncertaintyL - b.uncertaintyL || a.rank - b.rank)[0]
  const enough = candidates.filter((c) => c.uncertaintyL <= how.enoughRelative * volumeL)
  const simplest = Math.min(...enough.map((c) => Math.floor(c.rank)))
  const chosen = finest(enough.filter((c) => Math.floor(c.rank) === simplest)) ?? finest(candidates)
  if (chosen) {
    const coarse = chosen.uncertaintyL > how.enoughRelative * volumeL
    const better = how.glassClass === 'indicative' || !coarse ? [] : fitThePipette(volumeL, how)
    const { stepL, uncertaintyL, tool } = chosen
    return { shownL: chosen.shownL > 0 ? chosen.shownL : volumeL, stepL, uncertaintyL, tool, better }
  }
  const scales = how.ware.pieces.filter((p) => p.divisionL !== null || p.kind === 'transfer pipette' || p.kind === 'syringe')
  const smallest = scales
    .filter((p) => toolsByClass[how.glassClass].includes(p.kind) && (p.class === how.glassClass || p.class === 'indicative'))
    .sort((a, b) => a.toleranceL - b.toleranceL || a.capacityL - b.capacityL)[0]!
  const shown = roundTo(volumeL, readableStepL(smallest))
  return {
    shownL: shown > 0 ? shown : volumeL,
    stepL: readableStepL(smallest),
    uncertaintyL: volumeUncertaintyL(smallest, volumeL, TEMPERATURE_SPREAD_K, how.expansionPerK),
    tool: pieceName(smallest),
    better: [],
  }
}

/**
 * The volume as the tool shows it: to the first digit of the step ("2.10 mL" where it is read to 0.05 or 0.025 mL), one more
 * where a half step stands in it ("12.125 mL"); four digits on one-mark ware (step 0) or below one step.
 */
export function writtenByTool(volumeL: number, stepL: number): string {
  const value = Number((volumeL * 1000).toPrecision(12))
  if (!(stepL > 0) || volumeL < stepL) return `${formatNumber(value, 4)} mL`
  const step = Number((stepL * 1000).toPrecision(9))
  const first = Math.max(0, Math.ceil(-Math.log10(step) - 1e-9))
  const isOnIt = Math.abs(value * 10 ** first - Math.round(value * 10 ** first)) < 1e-6
  return `${value.toFixed(isOnIt ? first : Math.max(first, decimalsOf(step)))} mL`
}

/** What a solution is filled up in. */
export interface FillUp {
  readonly tool: string
  readonly uncertaintyL: number
  readonly piece: GlassPiece
  /** How to come closer, with numbers. */
  readonly better: readonly string[]
}

/**
 * The ware in which `volumeL` is filled up: a volumetric flask of that size, else a measuring cylinder; with indicative
 * ware only, a marked beaker. Beyond the largest piece it is filled several times.
 */
export function fillUp(volumeL: number, how: Omit<Measuring, 'corrosive' | 'enoughRelative'>): FillUp {
  const own = (kind: GlassKind): readonly GlassPiece[] => piecesFor({ ...how, corrosive: false, enoughRelative: 0 }, kind)
  const flasks = how.glassClass === 'indicative' ? [] : own('volumetric flask')
  const flask = flasks.find((p) => Math.abs(p.capacityL / volumeL - 1) <= SAME_VOLUME)
  const scales = own(how.glassClass === 'indicative' ? 'beaker' : 'measuring cylinder')
  const piece = flask ?? scales.find((p) => p.capacityL >= volumeL * (1 - 1e-9)) ?? scales.at(-1)!
  const fillings = Math.max(1, Math.ceil(volumeL / piece.capacityL - 1e-9))
  const uncertaintyL = fillings * volumeUncertaintyL(piece, volumeL / fillings, TEMPERATURE_SPREAD_K, how.expansionPerK)
  const larger = flask ? undefined : flasks.find((p) => p.capacityL > volumeL)
  const cylinder = how.ware.pieces
    .filter((p) => p.kind === 'measuring cylinder' && p.class === 'B')
    .sort((a, b) => a.capacityL - b.capacityL)
    .find((p) => p.capacityL >= volumeL)
  const better: string[] = []
  if (larger)
    better.push(
      `no flask holds ${mL(volumeL)}: ${mL(larger.capacityL)} in a volumetric flask would be known to ${formatNumber((100 * volumeUncertaintyL(larger, larger.capacityL, TEMPERATURE_SPREAD_K, how.expansionPerK)) / larger.capacityL, 2)} % instead of ${formatNumber((100 * uncertaintyL) / volumeL, 2)} %`,
    )
  if (how.glassClass === 'indicative' && cylinder)
    better.push(
      `beaker marks are about 10 % off: a ${pieceName(cylinder)} brings the volume to ${formatNumber((100 * volumeUncertaintyL(cylinder, volumeL, TEMPERATURE_SPREAD_K, how.expansionPerK)) / volumeL, 2)} %`,
    )
  return { tool: `${pieceName(piece)}${fillings > 1 ? `, filled ${fillings} times` : ''}`, uncertaintyL, piece, better }
}
