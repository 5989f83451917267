/** What instruments in the vessel would read along a course: iodide electrode, and platinum where a couple holds it. */
import type { Source } from '@beakertide/basis/sources'
import type { SpeciesId } from '../matter/index.ts'
import type { Trace } from './rehearsal.ts'
import type { Course } from './seeing.ts'
import { coupleMillivolts, type ElectrodeFacts, electrodeSources, IODIDE_NOTE, iodideElectrode, rulingCouple } from './signals.ts'

/** Value of a column at a sample; a column of one value holds throughout. */
const at = (column: ArrayLike<number> | undefined, k: number): number =>
  column === undefined ? 0 : ((column.length === 1 ? column[0] : column[k]) ?? 0)

/** Iodide is followed when it ever exceeds this, mol/L: below it is a trace of another chemistry. */
const LEAST_IODIDE_MOL_PER_L = 1e-8

/** Traces at the samples `picks` of a course, with what they rest on. */
export function electrodeTraces(
  course: Course,
  picks: readonly number[],
  facts: ElectrodeFacts,
): { readonly traces: readonly Trace[]; readonly sources: readonly Source[] } {
  const traces: Trace[] = []
  const timesS = picks.map((k) => course.timesS[k] ?? 0)
  const temperature = (k: number): number => at(course.temperatureK, k)
  const iodide = course.molPerL['I-']
  if (iodide !== undefined && picks.some((k) => at(iodide, k) > LEAST_IODIDE_MOL_PER_L)) {
    const readings = picks.map((k) => iodideElectrode(at(iodide, k), temperature(k), facts))
    traces.push({
      name: 'iodide electrode',
      unit: `mV against ${facts.referenceName}`,
      timesS,
      values: readings.map((r) => r.millivolts),
      note: IODIDE_NOTE,
    })
    traces.push({ name: 'pI', unit: '', timesS, values: readings.map((r) => r.pI), note: IODIDE_NOTE })
  }
  const greatest: Record<SpeciesId, number> = {}
  for (const id of new Set(facts.couples.flatMap((c) => [...c.oxidised, ...c.reduced].map(([species]) => species)))) {
    const column = course.molPerL[id]
    if (column === undefined) continue
    let most = 0
    for (const k of picks) most = Math.max(most, at(column, k))
    greatest[id] = most
  }
  const couple = rulingCouple(greatest, facts)
  if (couple) {
    const species = [...couple.oxidised, ...couple.reduced].map(([id]) => id)
    const held: Record<SpeciesId, number> = {}
    const values = picks.map((k) => {
      for (const id of species) held[id] = at(course.molPerL[id], k)
      return coupleMillivolts(couple, held, temperature(k), facts)
    })
    traces.push({
      name: 'platinum electrode',
      unit: `mV against ${facts.referenceName}`,
      timesS,
      values,
      note: `as if held by ${couple.name} alone`,
    })
  }
  return { traces, sources: traces.length > 0 ? electrodeSources(facts, couple) : [] }
}
