/** What a document is refused for. Where there is any, nothing is worked out from it and no page draws or lists its amounts. */
import type { Problem } from '@beakertide/basis/problems'
import type { DayView } from '../work/contract.ts'

export const refusalsOf = (day: DayView | null): readonly Problem[] => (day?.problems ?? []).filter((p) => p.danger === true)

export const isRefused = (day: DayView | null): boolean => refusalsOf(day).length > 0
