/** What is in a bottle: every way a label states it becomes mol a gram, mol a litre and a density, each with its uncertainty. */
import { done, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import { distinctSources, type Source } from '@beakertide/basis/sources'
import { formatNumber, formatQuantity, type Quantity } from '@beakertide/basis/units'
import { findSubstance, type MatterFacts, type Substance } from '../matter/index.ts'
import { type AssayResult, type AssayRoom, evaluateAssay } from './assay.ts'
import { assayAgainstLabel, labelDoubts } from './label-doubts.ts'
import { at, bothBases, bottleProblem, densityModel, readLabel } from './label-strength.ts'
import { anhydrousFormula } from './liquid.ts'
import { type Perishing, perishing } from './perishable.ts'
import type { Bottle } from './recipe.ts'
import { combined, rectangular, relative, type Uncertain, type UncertaintyPart } from './uncertainty.ts'
import { labelUncertainty } from './written-number.ts'

/** A bottle understood. */
export interface BottleContent {
  readonly bottle: Bottle
  readonly substance: Substance
  /** Formula without crystal water, as in the tables. */
  readonly anhydrous: string
  /** Molar mass without crystal water, g/mol. */
  readonly anhydrousMolarMass: number
  readonly state: 'solid' | 'liquid'
  /** Mass fraction of the labelled formula. */
  readonly massFraction: Uncertain
  readonly molPerG: Uncertain
  /** Liquids only. */
  readonly molPerL: Uncertain | null
  /** g/mL; liquids only. */
  readonly density: Uncertain | null
  readonly densityFrom: string
  /** What the uncertainty of the strength is made of. */
  readonly budget: readonly UncertaintyPart[]
  readonly sources: readonly Source[]
  readonly assayed: boolean
}

/** Content of a reagent bottle whose grade is not stated: 98 to 100 % (assumed). */
const UNKNOWN_GRADE_HALF_WIDTH = 0.01
/** Above this a "mass fraction" on a bottle of a solid is a purity, not a solution: the strongest solutions of solids on the shelf are near 50 % (assumed). */
const STRONGEST_SOLUTION_OF_A_SOLID = 0.6
/** An assay of a solid above this is no error of reading any more: assumed. */
const HIGHEST_ASSAY = 1.05

const isLiquidForm = (substance: Substance): boolean => substance.soldAs === 'aqueous' || /liquid|syrup/.test(substance.form)

function readSolid(bottle: Bottle, substance: Substance, purity: Quantity | undefined, assay: AssayResult | null): Outcome<Understood> {
  const warnings: Problem[] = []
  const M = substance.molarMassGPerMol
  const value = purity?.value ?? 1
  if (purity && !(purity.value > 0 && purity.value <= 1)) {
    return refuse(
      bottleProblem(
        bottle,
        'purity-range',
        `a purity of "${purity.text}" cannot be; it lies above 0 and at most 100 %`,
        'copy the assay from the label, as in "99.5 %"',
      ),
    )
  }
  if (!purity && !assay) {
    warnings.push(
      bottleProblem(
        bottle,
        'grade-unknown',
        `no purity is given for ${substance.name}; 100 % is taken, known to +/- ${formatNumber(100 * UNKNOWN_GRADE_HALF_WIDTH, 1)} %`,
        `copy it from the label, as in "purity: 99 %"${substance.grades ? ` (sold as ${substance.grades})` : ''}`,
      ),
    )
  }
  const u = purity
    ? (purity.uncertainty ?? Math.max(labelUncertainty(purity), rectangular((1 - value) / 2)))
    : rectangular(UNKNOWN_GRADE_HALF_WIDTH)
  const massFraction: Uncertain = assay ? { value: assay.strength.value * M, u: assay.strength.u * M } : { value, u }
  if (assay && massFraction.value > 1 + 3 * massFraction.u) {
    const what = `the assay finds ${formatQuantity(massFraction.value, 'mass-fraction', 4)}, more than the pure substance`
    const above = bottleProblem(bottle, 'assay-above-pure', what, 'check titrant, dilution and which hydrate is in the bottle')
    if (massFraction.value > HIGHEST_ASSAY) return refuse(above)
    warnings.push(above)
  }
  if (assay && purity)
    warnings.push(...assayAgainstLabel(bottle, massFraction.value, purity.value, (x) => formatQuantity(x, 'mass-fraction', 3)))
  const doubt = assay ? null : perishing(substance, 'solid')
  if (doubt) warnings.push(notAssayed(bottle, doubt))
  const stated: readonly UncertaintyPart[] = assay
    ? assay.budget
    : [
        {
          what: purity ? `purity ${purity.text}` : 'purity not stated',
          shape: purity?.uncertainty === undefined ? 'rectangular' : 'normal',
          relative: u / value,
        },
      ]
  const budget: readonly UncertaintyPart[] = [...stated, ...doubtPart(doubt), molarMassPart(substance)]
  return done(
    {
      bottle,
      substance,
      anhydrous: anhydrousFormula(substance),
      state: 'solid' as const,
      massFraction,
      molPerG: { value: massFraction.value / M, u: (massFraction.value / M) * combined(budget) },
      molPerL: null,
      density: null,
      densityFrom: '',
      budget,
      sources: [],
      assayed: assay !== null,
    },
    warnings,
  )
}

/** What readSolid and readLiquid find; the molar mass without water is added by their caller. */
type Understood = Omit<BottleContent, 'anhydrousMolarMass'>

const doubtPart = (doubt: Perishing | null): readonly UncertaintyPart[] =>
  doubt ? [{ what: doubt.why, shape: 'rectangular', relative: rectangular(doubt.doubt) }] : []

function notAssayed(bottle: Bottle, doubt: Perishing): Problem {
  const opened = bottle.opened ? ` (opened ${bottle.opened})` : ''
  const share = formatNumber(100 * doubt.doubt, 2)
  return bottleProblem(
    bottle,
    'not-assayed',
    `${doubt.why}, and it was not assayed: the label is taken to +/- ${share} %${opened}`,
    doubt.assay,
  )
}

const molarMassPart = (substance: Substance): UncertaintyPart => ({
  what: 'atomic weights',
  shape: 'rectangular',
  relative: substance.molarMassUncertaintyGPerMol / substance.molarMassGPerMol,
})

function readLiquid(
  bottle: Bottle,
  substance: Substance,
  assay: AssayResult | null,
  celsius: number,
  matter: MatterFacts,
  anhydrousShare: number,
): Outcome<Understood> {
  const warnings: Problem[] = []
  const M = substance.molarMassGPerMol
  const densityAt = densityModel(bottle, substance, celsius, matter, anhydrousShare)
  const read = bottle.strength ? readLabel(bottle, bottle.strength, substance, matter) : null
  if (read && !read.ok) return read
  const label = read?.value ?? null
  const primary = assay ?? label
  if (!primary) {
    const what = bottle.purity
      ? `${substance.name} is a liquid or a solution: a purity ("${bottle.purity.text}") does not say how strong it is`
      : `${substance.name} is a liquid or a solution and no strength is given`
    return refuse(
      bottleProblem(bottle, 'liquid-without-strength', what, 'write "strength:" with % w/w, % w/v, % v/v, mol/L or, for peroxide, volumes'),
    )
  }
  if (bottle.purity) {
    warnings.push(
      bottleProblem(
        bottle,
        'purity-and-strength',
        `the bottle has a strength and a purity ("${bottle.purity.text}"); the purity is not used`,
        'remove "purity:"',
      ),
    )
  }
  const both = bothBases(primary, densityAt, M)
  if (both.massFraction > 1 + 1e-9 || both.molPerG.value * M > 1 + 1e-9) {
    return refuse(
      bottleProblem(
        bottle,
        'stronger-than-pure',
        `${bottle.strength?.text ?? 'the assay'} would be ${formatQuantity(both.molPerG.value * M, 'mass-fraction', 4)}, more than the pure substance`,
        'check strength and density, and whether it is w/w or w/v',
      ),
    )
  }
  const inLabel = label ? bothBases(label, densityAt, M) : null
  if (inLabel && bottle.strength)
    warnings.push(
      ...labelDoubts({
        bottle,
        substance,
        strength: bottle.strength,
        molPerL: inLabel.molPerL.value,
        density: inLabel.density.value,
        anhydrousShare,
        celsius,
        matter,
      }),
    )
  if (assay && inLabel)
    warnings.push(
      ...assayAgainstLabel(bottle, both.molPerL.value, inLabel.molPerL.value, (x) => formatQuantity(x, 'amount-concentration', 3)),
    )
  const doubt = assay ? null : perishing(substance, 'liquid')
  if (doubt) warnings.push(notAssayed(bottle, doubt))
  const budget: UncertaintyPart[] = [...(assay ? assay.budget : label ? [label.part] : [])]
  budget.push(...doubtPart(doubt))
  if (primary.basis === 'per-gram') budget.push(molarMassPart(substance))
  const strength = combined(budget)
  const spread = (x: Uncertain, withDensity: boolean): Uncertain => ({
    value: x.value,
    u: x.value * Math.hypot(strength, withDensity ? relative(both.density) : 0),
  })
  return done(
    {
      bottle,
      substance,
      anhydrous: anhydrousFormula(substance),
      state: 'liquid' as const,
      massFraction: { value: both.molPerG.value * M, u: both.molPerG.value * M * strength },
      molPerG: spread(both.molPerG, primary.basis === 'per-litre'),
      molPerL: spread(both.molPerL, primary.basis === 'per-gram'),
      density: both.density,
      densityFrom: both.from,
      budget,
      sources: distinctSources([...both.sources, ...(label?.sources ?? [])]),
      assayed: assay !== null,
    },
    warnings,
  )
}

/** A solid's "strength" that can only be its purity. */
const isPurityWritten = (bottle: Bottle, substance: Substance): boolean =>
  bottle.strength !== undefined &&
  bottle.density === undefined &&
  !isLiquidForm(substance) &&
  (bottle.strength.kind === 'mass-fraction' || bottle.strength.kind === 'fraction') &&
  bottle.strength.value > STRONGEST_SOLUTION_OF_A_SOLID

/** Densities of liquids on a shelf, g/mL: ether is 0.71, bromine 3.1 (memory). */
const LIGHTEST_LIQUID = 0.6
const HEAVIEST_LIQUID = 3.5

/** All quantities of the label that must be finite and above 0. */
function labelFaults(bottle: Bottle): Problem[] {
  const stated = { strength: bottle.strength, purity: bottle.purity, density: bottle.density }
  const found = Object.entries(stated).flatMap(([name, q]) =>
    q && !(Number.isFinite(q.value) && q.value > 0)
      ? [bottleProblem(bottle, 'not-above-zero', `${name} is "${q.text}"; it must be more than 0`, `copy the ${name} from the label`)]
      : [],
  )
  const { density, purity } = bottle
  if (
    density &&
    (density.kind !== 'density' || (density.value > 0 && (density.value < LIGHTEST_LIQUID || density.value > HEAVIEST_LIQUID)))
  ) {
    const range = `liquids lie between ${LIGHTEST_LIQUID} and ${HEAVIEST_LIQUID} g/mL`
    found.push(
      bottleProblem(
        bottle,
        'density-range',
        `a density of "${density.text}" cannot be; ${range}`,
        'check the number and its unit, as in "1.84 g/mL"',
      ),
    )
  }
  if (purity && purity.kind !== 'fraction' && purity.kind !== 'mass-fraction') {
    found.push(bottleProblem(bottle, 'purity-range', `"${purity.text}" is not a purity`, 'copy the assay from the label, as in "99.5 %"'))
  }
  return found
}

/**
 * Understands one bottle at `celsius`. Strength from the assay where there is one, else from the label, with every doubt
 * named. Refuses what cannot be (a liquid without strength, more than pure, an unknown substance).
 */
export function readBottle(bottle: Bottle, celsius: number, room: AssayRoom, waterMolarMass: number): Outcome<BottleContent> {
  const named = findSubstance(bottle.substance, bottle.hydrate, room.matter)
  const faults = labelFaults(bottle)
  if (!named.ok)
    return {
      ok: false,
      problems: [...named.problems.map((p) => ({ ...p, where: `bottle "${bottle.id}": ${p.where}`, ...at(bottle) })), ...faults],
    }
  if (faults.length > 0) return { ok: false, problems: faults }
  const substance = named.value
  const warnings: Problem[] = named.warnings.map((w) => ({ ...w, where: `bottle "${bottle.id}": ${w.where}`, ...at(bottle) }))
  const assay = bottle.assay ? evaluateAssay(bottle, bottle.assay, substance, room) : null
  if (assay && !assay.ok) return assay
  if (assay) warnings.push(...assay.value.warnings)
  const anhydrousMolarMass = substance.molarMassGPerMol - substance.waters * waterMolarMass
  const asPurity = isPurityWritten(bottle, substance)
  const liquid = !asPurity && (bottle.strength !== undefined || isLiquidForm(substance) || assay?.value.basis === 'per-litre')
  if (asPurity)
    warnings.push(
      bottleProblem(
        bottle,
        'strength-of-a-solid',
        `${substance.name} is a solid: "${bottle.strength!.text}" is read as its purity`,
        'write "purity:" for a solid, or add "density:" if it is a solution',
      ),
    )
  const content = liquid
    ? readLiquid(bottle, substance, assay?.value ?? null, celsius, room.matter, anhydrousMolarMass / substance.molarMassGPerMol)
    : readSolid(bottle, substance, bottle.purity ?? (asPurity ? bottle.strength : undefined), assay?.value ?? null)
  if (!content.ok) return content
  return done({ ...content.value, anhydrousMolarMass }, [...warnings, ...content.warnings])
}
