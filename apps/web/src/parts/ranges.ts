/** Ranges of a clearing plan in the numbers of the place: two digits, one number where both ends agree. */
import type { Range } from '@beakertide/core/clearing'
import { t } from '../words/index.ts'
import { formatNumber } from '../words/numbers.ts'

const DIGITS = 2
/** Ends this close, relative, are one number. */
const NEARLY_EQUAL = 0.02
/** Less than this is nothing that a bench can show. */
const NOTHING = 1e-3

/** "3.1 to 4.8"; "0" below a thousandth. */
export function rangeText(range: Range, digits = DIGITS): string {
  const show = (v: number): string => (Math.abs(v) < NOTHING ? '0' : formatNumber(v, digits))
  const [low, high] = [show(range.low), show(range.high)]
  const isOne = low === high || Math.abs(range.high - range.low) <= NEARLY_EQUAL * Math.abs(range.high)
  return isOne ? high : t('clearing.range', { low, high })
}

export const isNothing = (range: Range | undefined): boolean => range === undefined || Math.abs(range.high) < NOTHING
