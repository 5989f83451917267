/** Flags and steps that vary, coast, aim and mistakes share. */
import { done, type Outcome } from '@beakertide/basis/problems'
import { parseQuantity } from '@beakertide/basis/units'
import { openReady, type ReadyDay } from '../desk.ts'
import type { Door } from '../terminal/door.ts'
import { vesselsWanted } from '../vessels.ts'
import { anyText, oneOf } from './flags.ts'

/** An optional text flag. */
export const textFlag = (brief: string, placeholder: string) =>
  ({ kind: 'parsed', parse: anyText, brief, optional: true, placeholder }) as const

export const stepsFlag = (brief: string) =>
  ({ kind: 'parsed', parse: oneOf(['linear', 'log'] as const), brief, optional: true, placeholder: 'how' }) as const

/** Seconds from "70", "70 s", "4 min". */
export function seconds(text: string): number {
  const plain = Number(text)
  if (text.trim() !== '' && Number.isFinite(plain)) return plain
  const read = parseQuantity(text, ['time'])
  if (!read.ok) throw new SyntaxError(`"${text}" is not a time; write it as in "70 s" or "4 min"`)
  return read.value.value
}

/** Lowest and highest wanted time, s: "70 s", "4 to 5 min". */
export function timeRange(text: string): readonly [number, number] {
  const [first = '', second] = text.split(/\s+to\s+/)
  if (second === undefined) return [seconds(text), seconds(text)]
  // "4 to 5 min": the unit stands once, at the end.
  const unit = /[a-z].*$/i.exec(second)?.[0] ?? ''
  return [seconds(/[a-z]/i.test(first) ? first : `${first} ${unit}`.trim()), seconds(second)]
}

/** Lowest and highest wanted count: "12", "10 to 15". */
export function countRange(text: string): readonly [number, number] {
  const parts = text.split(/\s+to\s+/).map(Number)
  if (parts.length > 2 || parts.some((n) => !Number.isInteger(n) || n < 1)) {
    throw new SyntaxError(`"${text}" is no count; write it as in "12" or "10 to 15"`)
  }
  return [parts[0]!, parts.at(-1)!]
}

export interface OpenVessel extends ReadyDay {
  readonly vessel: string
}

/** The document made ready, and the vessel that is meant: the first one unless named. */
export function openVessel(
  door: Door,
  path: string,
  flags: { readonly mechanism?: string; readonly vessel?: string },
): Outcome<OpenVessel> {
  const ready = openReady(door, path, flags.mechanism)
  if (!ready.ok) return ready
  const vessels = vesselsWanted(ready.value.prepared, flags.vessel)
  return vessels.ok ? done({ ...ready.value, vessel: vessels.value[0]! }, ready.warnings) : vessels
}
