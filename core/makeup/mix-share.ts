/** Pours as make-up needs them: which volume of which solution stands in which vessel. A vessel of core/mixture fits this shape. */
import { done, type Outcome, type Problem, refuse, type Span, suggestion } from '@beakertide/basis/problems'
import { formatQuantity } from '@beakertide/basis/units'
import type { SolutionRecipe } from './recipe.ts'

export interface MixShare {
  readonly id: string
  /** How many equal vessels. */
  readonly count: number
  readonly pours: readonly { readonly solution: string; readonly volumeL: number; readonly span?: Span }[]
  readonly span?: Span
}

/** Ratios nearer than this are the same, relative. */
const SAME_RATIO = 1e-6

const pouredInto = (vessel: MixShare, solution?: string): number =>
  vessel.pours.filter((p) => solution === undefined || p.solution === solution).reduce((sum, p) => sum + p.volumeL, 0)

/** Volume of one solution over all vessels, L. */
export const pouredVolumeL = (solution: string, vessels: readonly MixShare[]): number =>
  vessels.reduce((sum, v) => sum + v.count * pouredInto(v, solution), 0)

/**
 * How many times stronger a solution must be than the mix: total volume poured over volume of this solution. Volumes are
 * added (the contraction on mixing dilute solutions is below 1 %: approximation). Refused when the vessels differ or none takes it.
 */
export function mixRatio(solution: SolutionRecipe, vessels: readonly MixShare[]): Outcome<number> {
  const using = vessels.filter((v) => pouredInto(v, solution.id) > 0)
  const problem = (code: string, what: string, todo: string): Problem => ({
    code: `makeup/${code}`,
    where: `solution "${solution.id}"`,
    what,
    todo,
    ...(solution.span ? { span: solution.span } : {}),
  })
  const first = using[0]
  if (!first)
    return refuse(
      problem(
        'mix-target-without-pour',
        'a strength in the final mix is wanted, but the solution is poured nowhere',
        'add a pour, or state the strength in the solution itself',
      ),
    )
  const ratios = using.map((v) => pouredInto(v) / pouredInto(v, solution.id))
  const differing = ratios.findIndex((r) => Math.abs(r / ratios[0]! - 1) > SAME_RATIO)
  if (differing > 0) {
    const shares = using.map((v, i) => `"${v.id}" 1 in ${ratios[i]!.toPrecision(4)}`).join(', ')
    return refuse(
      problem(
        'mix-shares-differ',
        `the vessels dilute this solution differently (${shares}), so one strength cannot give the same mix in all`,
        'state the strength in the solution itself, or make the pours alike',
      ),
    )
  }
  return done(ratios[0]!)
}

/** Pours against what is made: unknown solutions, more poured than made, too little to spare, solutions without use. */
export function pourProblems(
  solutions: readonly SolutionRecipe[],
  vessels: readonly MixShare[],
  spareShare: number,
): { readonly problems: readonly Problem[]; readonly warnings: readonly Problem[] } {
  const problems: Problem[] = []
  const warnings: Problem[] = []
  const ids = solutions.map((s) => s.id)
  for (const vessel of vessels) {
    for (const pour of vessel.pours) {
      const where = `vessel "${vessel.id}"`
      const at = pour.span ?? vessel.span
      if (!ids.includes(pour.solution)) {
        problems.push({
          code: 'makeup/pour-of-unknown-solution',
          where,
          what: `a pour of "${pour.solution}", which is never made`,
          todo: suggestion(pour.solution, ids) || 'add this solution',
          ...(at ? { span: at } : {}),
        })
      }
      if (!(Number.isFinite(pour.volumeL) && pour.volumeL > 0)) {
        problems.push({
          code: 'makeup/not-above-zero',
          where,
          what: `the pour of "${pour.solution}" is ${formatQuantity(pour.volumeL, 'volume', 3)}; it must be more than 0`,
          todo: 'write the volume, or take the pour out',
          ...(at ? { span: at } : {}),
        })
      }
    }
  }
  if (vessels.length === 0) return { problems, warnings }
  for (const solution of solutions) {
    const made = solution.volume.value
    const poured = pouredVolumeL(solution.id, vessels)
    const place = { where: `solution "${solution.id}"`, ...(solution.span ? { span: solution.span } : {}) }
    const liquid = (x: number): string => formatQuantity(x, 'volume', 4)
    if (poured === 0)
      warnings.push({
        code: 'makeup/solution-without-use',
        what: 'it is made but poured nowhere',
        todo: 'add a pour, or take it out',
        ...place,
      })
    else if (poured > made * (1 + 1e-9))
      problems.push({
        code: 'makeup/more-poured-than-made',
        what: `the pours take ${liquid(poured)}, but only ${liquid(made)} is made`,
        todo: `make at least ${liquid(poured * (1 + spareShare))}`,
        ...place,
      })
    else if (poured * (1 + spareShare) > made * (1 + 1e-9))
      warnings.push({
        code: 'makeup/little-to-spare',
        what: `the pours take ${liquid(poured)} of ${liquid(made)}: ${formatQuantity(made / poured - 1, 'fraction', 2)} to spare for rinsing and loss, ${formatQuantity(spareShare, 'fraction', 2)} is wanted`,
        todo: `make ${liquid(poured * (1 + spareShare))}`,
        ...place,
      })
  }
  return { problems, warnings }
}
