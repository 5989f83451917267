/** Labels that contradict themselves or their assay: named, with both readings in numbers. */
import type { Problem } from '@beakertide/basis/problems'
import { formatNumber, formatQuantity, type Quantity } from '@beakertide/basis/units'
import { densityOf, type MatterFacts, type Substance } from '../matter/index.ts'
import { anhydrousFormula, massFractionAt } from './liquid.ts'
import type { Bottle } from './recipe.ts'

/** A density further than this from the table at the labelled strength is a contradiction, relative (assumed). */
const DENSITY_CONTRADICTS = 0.01
/** Two readings of a percentage nearer than this are not worth a question, relative (assumed). */
const SAME_READING = 0.02
/** An assay further than this from the label is a contradiction, relative (assumed). */
const ASSAY_FAR = 0.1
/** Usual slips in a dilution: the factor was forgotten, or counted twice. */
const SLIPS = [2, 4, 5, 10, 20, 25, 50, 100, 250] as const

interface LabelFacts {
  readonly bottle: Bottle
  readonly substance: Substance
  readonly strength: Quantity
  readonly molPerL: number
  readonly density: number
  /** g of anhydrous substance a gram of labelled formula. */
  readonly anhydrousShare: number
  readonly celsius: number
  readonly matter: MatterFacts
}

const problem = (bottle: Bottle, code: string, what: string, todo: string): Problem => ({
  code: `makeup/${code}`,
  where: `bottle "${bottle.id}"`,
  what,
  todo,
  ...(bottle.span ? { span: bottle.span } : {}),
})

/** Mass fraction (labelled formula) at which the table has this density; null when the table does not reach or is not single-valued there. */
export function massFractionFromDensity(
  formula: string,
  gPerMl: number,
  anhydrousShare: number,
  celsius: number,
  matter: MatterFacts,
): number | null {
  const rho = (w: number): number | null => {
    const found = densityOf(formula, w * anhydrousShare, celsius, matter)
    return found && !found.extrapolated ? found.gPerMl : null
  }
  const STEPS = 200
  const roots: number[] = []
  for (let i = 0; i < STEPS; i++) {
    const from = i / STEPS
    const to = (i + 1) / STEPS
    const a = rho(from)
    const b = rho(to)
    // half-open, so that a root on a step counts once
    if (a === null || b === null || a === b || !((a <= gPerMl && gPerMl < b) || (b < gPerMl && gPerMl <= a))) continue
    roots.push(from + ((gPerMl - a) / (b - a)) * (to - from))
  }
  return roots.length === 1 ? roots[0]! : null
}

/** Per cent of what? Only a bare "%" and % w/v of a liquid normally sold by mass can be doubted. */
function basisDoubt(label: LabelFacts, tableDensity: number | null): Problem[] {
  const { bottle, substance, strength } = label
  const M = substance.molarMassGPerMol
  const rho = bottle.density?.value ?? tableDensity
  if (rho === null || strength.kind !== 'fraction') return []
  const byMass = (1000 * rho * strength.value) / M
  const byVolume = (1000 * strength.value) / M
  if (Math.abs(byMass / byVolume - 1) < SAME_READING) return []
  return [
    problem(
      bottle,
      'per-cent-of-what',
      `"${strength.text}" does not say per cent of what: w/w is ${formatQuantity(byMass, 'amount-concentration', 3)}, w/v is ${formatQuantity(byVolume, 'amount-concentration', 3)}; w/w is taken`,
      'look at the label and write "% w/w" or "% w/v"; an assay settles it',
    ),
  ]
}

/** Strength and density both given: do they belong together? */
function densityDoubt(label: LabelFacts): Problem[] {
  const { bottle, substance, strength, anhydrousShare, celsius, matter } = label
  const given = bottle.density
  if (!given) return []
  const formula = anhydrousFormula(substance)
  const M = substance.molarMassGPerMol
  const w = (label.molPerL * M) / (1000 * label.density)
  const table = densityOf(formula, w * anhydrousShare, celsius, matter)
  if (!table || table.extrapolated || Math.abs(table.gPerMl / given.value - 1) <= DENSITY_CONTRADICTS) return []
  const meant = massFractionFromDensity(formula, given.value, anhydrousShare, celsius, matter)
  const hints: string[] = []
  if (meant !== null) {
    const gPerL = 1000 * given.value * meant
    hints.push(
      `${given.text} belongs to ${formatQuantity(meant, 'mass-fraction', 3)} (${formatQuantity(gPerL / M, 'amount-concentration', 3)})`,
    )
    if (strength.kind === 'mass-concentration' && Math.abs(strength.value / 1000 / meant - 1) < SAME_READING)
      hints.push(`read as % w/w the label fits its density: w/v is doubtful`)
    if (strength.kind === 'mass-fraction' && Math.abs((strength.value * 1000) / gPerL - 1) < SAME_READING)
      hints.push(`read as % w/v the label fits its density: w/w is doubtful`)
  }
  return [
    problem(
      bottle,
      'density-and-strength-disagree',
      `${strength.text} has ${formatNumber(table.gPerMl, 4)} g/mL in the table, the bottle says ${given.text}${hints.length > 0 ? `; ${hints.join('; ')}` : ''}`,
      'check both against the label, or assay the bottle',
    ),
  ]
}

/** A strength w/v of something whose w/w reading is the common label: named once, with both numbers. */
function weightVolumeDoubt(label: LabelFacts): Problem[] {
  const { bottle, substance, strength, anhydrousShare, celsius, matter } = label
  const formula = anhydrousFormula(substance)
  if (strength.kind !== 'mass-concentration' || !/%/.test(strength.text) || bottle.density || !/%\s*w\/w/.test(substance.grades)) return []
  const rho = (w: number): number => densityOf(formula, w * anhydrousShare, celsius, matter)?.gPerMl ?? 1
  const asMass = massFractionAt(strength.value, rho)
  const otherReading = (strength.value / 1000) * rho(strength.value / 1000)
  if (Math.abs(otherReading / (strength.value / 1000) - 1) < SAME_READING) return []
  return [
    problem(
      bottle,
      'weight-by-volume',
      `${strength.text} is taken as g in 100 mL (${formatQuantity(asMass, 'mass-fraction', 3)}, ${formatQuantity(label.molPerL, 'amount-concentration', 3)}); ${substance.name} is mostly labelled w/w, which would be ${formatQuantity((1000 * otherReading) / substance.molarMassGPerMol, 'amount-concentration', 3)}`,
      'look at the label once more',
    ),
  ]
}

/** Everything doubtful about a label. */
export function labelDoubts(label: LabelFacts): readonly Problem[] {
  const { substance, strength, anhydrousShare, celsius, matter } = label
  const table =
    strength.kind === 'fraction' ? densityOf(anhydrousFormula(substance), strength.value * anhydrousShare, celsius, matter) : null
  return [...basisDoubt(label, table?.gPerMl ?? null), ...densityDoubt(label), ...weightVolumeDoubt(label)]
}

/** An assay far from its label, with the likely reason. `found` and `said` in one unit, `show` prints it. */
export function assayAgainstLabel(bottle: Bottle, found: number, said: number, show: (x: number) => string): readonly Problem[] {
  const ratio = found / said
  if (Math.abs(ratio - 1) <= ASSAY_FAR) return []
  const slip = SLIPS.find((f) => Math.abs(ratio * f - 1) < SAME_READING * 2 || Math.abs(ratio / f - 1) < SAME_READING * 2)
  const reason =
    slip !== undefined
      ? `the two differ by a factor of ${slip}, as when a dilution is forgotten or counted twice`
      : ratio < 1
        ? `${formatNumber(100 * (1 - ratio), 2)} % has been lost, or the label means something else`
        : 'it cannot have become stronger in the bottle: titrant, dilution or label is wrong'
  return [
    problem(
      bottle,
      'assay-far-from-label',
      `the assay finds ${show(found)}, the label says ${show(said)}: ${reason}; the assay is used`,
      slip !== undefined || ratio > 1
        ? 'check "take", "dilutedTo" and "aliquot", and repeat the assay'
        : 'repeat the assay; if it holds, buy a fresh bottle or keep the assayed strength',
    ),
  ]
}
