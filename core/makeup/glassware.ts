/** Tolerances of volumetric ware, balances and thermometers, and the standard uncertainties that follow. */
import { invariant } from '@beakertide/basis/problems'
import { type Rows, type Source, seenFrom } from '@beakertide/basis/sources'
import { quadrature, rectangular, triangular } from './uncertainty.ts'

export type GlassKind =
  | 'volumetric flask'
  | 'bulb pipette'
  | 'graduated pipette'
  | 'burette'
  | 'measuring cylinder'
  | 'beaker'
  | 'syringe'
  | 'transfer pipette'
  | 'piston pipette'

/** One size of one kind of ware. */
export interface GlassPiece {
  readonly kind: GlassKind
  readonly class: 'A' | 'B' | 'indicative'
  readonly capacityL: number
  /** Distance of two marks; null on one-mark ware. */
  readonly divisionL: number | null
  /** Limit of error, plus or minus. */
  readonly toleranceL: number
  readonly source: Source
}

/** One kind of balance. */
export interface BalanceKind {
  readonly name: string
  readonly readabilityG: number
  readonly capacityG: number
  /** Largest departure from linearity, plus or minus. */
  readonly linearityG: number
  readonly source: Source
}

export interface Glassware {
  readonly pieces: readonly GlassPiece[]
  readonly balances: readonly BalanceKind[]
  /** Limit of error of an ordinary digital thermometer, K. */
  readonly thermometerToleranceK: number
  /** Cubic expansion of borosilicate glass, 1/K. */
  readonly glassExpansionPerK: number
}

/** Half the width of the mark to which a scale between two divisions can be read: common practice, no source. */
const READ_TO_PART_OF_DIVISION = 0.5
/** Volume delivered by one drop, the smallest step of an unmarked tip: 0.03-0.05 mL (table row "Pasteur pipette", memory). */
const DROP_L = 0.05e-3
/**
 * Spread of filling one-mark ware to the mark, as a share of its tolerance: 0.02 mL on a 100 mL flask with +/- 0.1 mL
 * (standard deviation of ten fillings in the Eurachem/CITAC guide, example A1, read).
 */
const FILLING_SHARE_OF_TOLERANCE = 0.2

const kinds: readonly (readonly [start: string, kind: GlassKind])[] = [
  ['volumetric flask', 'volumetric flask'],
  ['bulb pipette', 'bulb pipette'],
  ['graduated pipette', 'graduated pipette'],
  ['burette', 'burette'],
  ['measuring cylinder', 'measuring cylinder'],
  ['beaker', 'beaker'],
  ['plastic syringe', 'syringe'],
  ['Pasteur', 'transfer pipette'],
  ['piston pipette', 'piston pipette'],
]
const litresIn: Readonly<Record<string, number>> = { mL: 1e-3, uL: 1e-6 }

function readPiece(row: Readonly<Record<string, string>>, source: Source): GlassPiece | null {
  const kind = kinds.find(([start]) => row['item']?.startsWith(start))?.[1]
  const unit = litresIn[row['unit'] ?? '']
  if (!kind || unit === undefined) return null
  const named = row['class'] ?? ''
  const division = Number(row['graduation'])
  // a graduated pipette whose row gives no division cannot be read, and the ISO rows cover its size
  if (kind === 'graduated pipette' && !(division > 0)) return null
  return {
    kind,
    class: named.startsWith('A') ? 'A' : named === 'B' ? 'B' : 'indicative',
    capacityL: Number(row['nominal_capacity']) * unit,
    divisionL: division > 0 ? division * unit : null,
    toleranceL: Number(row['tolerance_plus_minus']) * unit,
    source,
  }
}

/** Reads the rows of data/tables/glassware_tolerances. */
export function readGlassware(rows: Rows): Glassware {
  const pieces: GlassPiece[] = []
  const balances: BalanceKind[] = []
  let thermometerToleranceK = Number.NaN
  let glassExpansionPerK = Number.NaN
  for (const row of rows) {
    const source: Source = { source: row['source'] ?? '', seen: seenFrom(row['read_or_memory'] ?? '') }
    const tolerance = Number(row['tolerance_plus_minus'])
    const item = row['item'] ?? ''
    const piece = readPiece(row, source)
    if (piece) pieces.push(piece)
    else if (/balance|scale/.test(item) && row['unit'] === 'g') {
      balances.push({
        name: item,
        readabilityG: Number(row['graduation']),
        capacityG: Number(row['nominal_capacity']),
        linearityG: tolerance,
        source,
      })
    } else if (item.includes('digital probe')) thermometerToleranceK = tolerance
    else if (item === 'glass cubic expansion') glassExpansionPerK = tolerance
  }
  invariant(
    pieces.every((p) => p.capacityL > 0 && p.toleranceL > 0),
    'every piece of ware has a capacity and a tolerance',
  )
  invariant(
    balances.length > 0 && thermometerToleranceK > 0 && glassExpansionPerK > 0,
    'the glassware table has balances, a thermometer and the expansion of glass',
  )
  return { pieces, balances, thermometerToleranceK, glassExpansionPerK }
}

/** The smallest step that can be read on a scale, L: half a division; a drop on ware without a scale; 0 on one-mark ware. */
export function readableStepL(piece: GlassPiece): number {
  if (piece.kind === 'volumetric flask' || piece.kind === 'bulb pipette') return 0
  if (piece.divisionL !== null) return piece.divisionL * READ_TO_PART_OF_DIVISION
  if (piece.kind === 'piston pipette') return piece.capacityL / 1000
  if (piece.kind === 'beaker') return piece.toleranceL / 2
  return DROP_L
}

/**
 * Standard uncertainty of one volume taken or held with `piece`, L: tolerance (triangular), reading or filling,
 * and expansion of the liquid over +/- `spreadK` round the calibration temperature (rectangular) with `expansionPerK`.
 * A burette is read twice.
 */
export function volumeUncertaintyL(piece: GlassPiece, volumeL: number, spreadK: number, expansionPerK: number): number {
  const step = readableStepL(piece)
  const reading =
    step > 0 ? rectangular(step / 2) * (piece.kind === 'burette' ? Math.SQRT2 : 1) : piece.toleranceL * FILLING_SHARE_OF_TOLERANCE
  return quadrature([triangular(piece.toleranceL), reading, rectangular(volumeL * spreadK * expansionPerK)])
}

/** "bulb pipette 20 mL class A" */
export function pieceName(piece: GlassPiece): string {
  const mL = Number((piece.capacityL * 1000).toPrecision(6))
  return `${piece.kind} ${mL < 1 && piece.kind === 'piston pipette' ? `${Number((mL * 1000).toPrecision(6))} uL` : `${mL} mL`}${piece.class === 'indicative' ? '' : ` class ${piece.class}`}`
}
