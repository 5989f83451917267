/** A sensitivity said as what happens: per cent of change for ten per cent more, or for a kelvin more. */
import type { Sensitivity } from '@beakertide/core/rehearsal'

const MORE = 1.1

/** Powers are d ln(time) / d ln(amount), so ten per cent more multiplies by 1.1 to the power; of temperature they are shares a kelvin. */
export function changeInPercent(row: Sensitivity, key: 'firstTurn' | 'period' | 'length'): number | null {
  const power = row[key]
  if (power === null) return null
  return 100 * (row.kind === 'temperature' ? Math.expm1(power) : MORE ** power - 1)
}
