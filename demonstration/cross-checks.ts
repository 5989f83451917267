/** What no single line can tell: amounts poured against amounts made, vessels against their brim. What is never used is told by make-up. */
import { formatQuantity } from '@beakertide/basis/units'
import type { SolutionRecipe } from '@beakertide/core/makeup'
import { type Notes, plain, report, warn } from './fields.ts'
import type { WrittenVessel } from './read-vessels.ts'

/** Sums of decimal fractions miss by a few units in the last place. */
const ROUNDING = 1e-9

const litres = (value: number): string => plain(value, 'volume')

/** More poured than made; a pour that could not be read only makes the sum smaller. */
function pouredAgainstMade(solutions: readonly SolutionRecipe[], vessels: readonly WrittenVessel[], notes: Notes): void {
  for (const solution of solutions) {
    const poured = vessels.reduce(
      (sum, v) => sum + v.vessel.count * v.pours.reduce((s, p) => s + (p.solution === solution.id ? p.volume.value : 0), 0),
      0,
    )
    if (poured <= solution.volume.value * (1 + ROUNDING) || !solution.span) continue
    report(
      notes,
      'more-poured-than-made',
      { where: `solution "${solution.id}"`, span: solution.span },
      `${litres(poured)} are poured, ${litres(solution.volume.value)} are made`,
      `make at least ${litres(poured)}, or pour less`,
    )
  }
}

function overTheBrim(vessels: readonly WrittenVessel[], notes: Notes): void {
  for (const { vessel, holds } of vessels) {
    const poured = vessel.pours.reduce((sum, p) => sum + p.volumeL, 0)
    if (!holds || poured <= holds.value * (1 + ROUNDING) || !vessel.span) continue
    report(
      notes,
      'vessel-overfilled',
      { where: `vessel "${vessel.id}"`, span: vessel.span },
      `${litres(poured)} are poured into it, it holds ${holds.text}`,
      'take a larger vessel or pour less; leave room for stirring and foam',
    )
  }
}

/** A strength "in the mix" needs one mix to be meant: the same share of the solution in every vessel it is poured into. */
function mixesMeant(solutions: readonly SolutionRecipe[], vessels: readonly WrittenVessel[], notes: Notes): void {
  for (const solution of solutions) {
    const inMix = solution.ingredients.filter((i) => i.target.state === 'in-mix')
    const span = inMix[0]?.span
    if (!span) continue
    const shares = vessels
      .map((v) => {
        const total = v.pours.reduce((sum, p) => sum + p.volume.value, 0)
        const own = v.pours.reduce((sum, p) => sum + (p.solution === solution.id ? p.volume.value : 0), 0)
        return own / total
      })
      .filter((share) => share > 0)
    const at = { where: `solution "${solution.id}"`, span }
    if (shares.length === 0) {
      report(
        notes,
        'no-mix',
        at,
        'a strength in the mix is wanted, but this solution is poured nowhere',
        'pour it into a vessel, or state the strength in the solution',
      )
    } else if (Math.max(...shares) > Math.min(...shares) * (1 + 1e-6)) {
      report(
        notes,
        'mix-not-one',
        at,
        'a strength in the mix is wanted, but the vessels take different shares of this solution',
        'state the strength in the solution, or pour the same proportions everywhere',
      )
    }
  }
}

function afterTheEnd(vessels: readonly WrittenVessel[], rehearseS: number, notes: Notes): void {
  for (const { vessel } of vessels) {
    for (const pour of vessel.pours) {
      if (pour.atS <= rehearseS || !pour.span) continue
      warn(
        notes,
        'pour-after-the-end',
        { where: `vessel "${vessel.id}"`, span: pour.span },
        `poured at ${formatQuantity(pour.atS, 'time')}, but the rehearsal ends at ${formatQuantity(rehearseS, 'time')}`,
        'write a longer "rehearse for"',
      )
    }
  }
}

/** All of the above; sums are judged only when everything that enters them could be read. */
export function crossCheck(
  parts: {
    readonly solutions: readonly SolutionRecipe[]
    readonly vessels: readonly WrittenVessel[]
    readonly rehearseS: number
    readonly allRead: boolean
  },
  notes: Notes,
): void {
  pouredAgainstMade(parts.solutions, parts.vessels, notes)
  overTheBrim(parts.vessels, notes)
  if (!parts.allRead) return
  mixesMeant(parts.solutions, parts.vessels, notes)
  afterTheEnd(parts.vessels, parts.rehearseS, notes)
}
