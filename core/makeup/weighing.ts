/** What a balance shows, how far to trust it, and which weighing is too small for it. */
import { formatNumber } from '@beakertide/basis/units'
import type { BalanceKind, Glassware } from './glassware.ts'
import { quadrature, rectangular } from './uncertainty.ts'

/** A weighing as the balance shows it. */
export interface Weighing {
  readonly shownG: number
  /** Standard uncertainty, g. */
  readonly uncertaintyG: number
  readonly tool: string
  /** Loads needed: more than one when the mass is beyond the capacity. */
  readonly loads: number
}

/**
 * The balance with this smallest digit: the row of the table, or for a digit between the rows one with the same habits
 * (linearity two digits, capacity as the nearest finer row: supplier practice, memory).
 */
export function balanceWith(readabilityG: number, ware: Glassware): BalanceKind {
  const exact = ware.balances.find((b) => Math.abs(b.readabilityG / readabilityG - 1) < 1e-9)
  if (exact) return exact
  const byDigit = [...ware.balances].sort((a, b) => b.readabilityG - a.readabilityG)
  const near = byDigit.find((b) => b.readabilityG < readabilityG) ?? byDigit.at(-1)!
  return {
    name: 'balance',
    readabilityG,
    capacityG: near.capacityG,
    linearityG: 2 * readabilityG,
    source: { source: 'linearity two digits, as the balances of the table', seen: 'assumed' },
  }
}

/** Decimals that a balance or scale with this smallest step shows: 2 for 0.01 g, 2 for 0.05 g, 0 for 1 g. */
export function decimalsOf(readabilityG: number): number {
  for (let decimals = 0; decimals < 9; decimals++) {
    const scaled = readabilityG * 10 ** decimals
    if (Math.abs(scaled - Math.round(scaled)) < 1e-9 * scaled) return decimals
  }
  return 9
}

/** `massG` rounded to what the balance can show, without floating dust. */
export function shownOnBalance(massG: number, readabilityG: number): number {
  return Number((Math.round(massG / readabilityG) * readabilityG).toFixed(decimalsOf(readabilityG)))
}

/** The mass as the balance writes it: "0.10 g" on a 0.01 g balance. */
export const writtenByBalance = (massG: number, readabilityG: number): string => `${massG.toFixed(decimalsOf(readabilityG))} g`

/**
 * Standard uncertainty of one mass by difference, g: linearity (rectangular) and digit (rectangular, half a digit) count
 * twice, for tare and load; repeatability once, one digit (supplier practice, memory; design of the budget after the
 * Eurachem/CITAC guide, appendix A).
 */
export function weighingUncertaintyG(balance: BalanceKind): number {
  const onePoint = quadrature([rectangular(balance.linearityG), rectangular(balance.readabilityG / 2)])
  return quadrature([Math.SQRT2 * onePoint, balance.readabilityG])
}

/** A mass on this balance. */
export function weigh(massG: number, balance: BalanceKind): Weighing {
  const loads = Math.max(1, Math.ceil(massG / balance.capacityG - 1e-9))
  return {
    shownG: shownOnBalance(massG, balance.readabilityG),
    uncertaintyG: weighingUncertaintyG(balance) * Math.sqrt(loads),
    tool: `balance ${formatNumber(balance.readabilityG, 1)} g${loads > 1 ? `, in ${loads} loads (it carries ${formatNumber(balance.capacityG, 3)} g)` : ''}`,
    loads,
  }
}

/** Smallest mass whose standard uncertainty stays within the share `largestRelative`, g. */
export const smallestWeighingG = (balance: BalanceKind, largestRelative: number): number => weighingUncertaintyG(balance) / largestRelative
