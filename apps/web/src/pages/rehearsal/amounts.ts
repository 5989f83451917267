/** What can be turned on the rehearsal page: the ingredients that go into a vessel, temperature, depth and the model's constants. */
import type { Prepared } from '@beakertide/demonstration'
import type { Edit } from '../../desk/desk.ts'
import type { Changes } from '../../work/contract.ts'

/** One ingredient of one solution that is poured into the vessel, as the recipe has it. */
export interface AmountKnob {
  /** "solution/bottle" */
  readonly key: string
  readonly solution: string
  readonly bottle: string
  readonly substance: string
  /** As the balance or glassware shows it. */
  readonly massG: number
  readonly volumeMl: number | null
  /** In the vessel after all pours, mmol/L; null for what has no amount there. */
  readonly mixMmolPerL: number | null
}

/** How an amount is typed and shown. */
export type AmountUnit = 'g' | 'mL' | 'mmol/L' | 'times'

const poured = (prepared: Prepared, vesselId: string) => prepared.demonstration.vessels.find((v) => v.id === vesselId)?.pours ?? []

/** Ingredients in the order of the document's solutions; only those that reach the vessel. */
export function amountKnobs(prepared: Prepared, vesselId: string): readonly AmountKnob[] {
  const pours = poured(prepared, vesselId)
  const mixL = prepared.poured.find((p) => p.id === vesselId)?.inventory.volumeL ?? 0
  const litres = (solution: string): number => pours.reduce((sum, p) => sum + (p.solution === solution ? p.volumeL : 0), 0)
  return prepared.makeUp.portions
    .filter((p) => litres(p.solution) > 0)
    .map((p) => {
      const strength = prepared.makeUp.strengths.find((s) => s.solution === p.solution && s.bottle === p.bottle)
      return {
        key: `${p.solution}/${p.bottle}`,
        solution: p.solution,
        bottle: p.bottle,
        substance: p.substanceName,
        massG: p.massShownG,
        volumeMl: p.measure === 'measure-volume' && p.volumeShownL !== null ? 1000 * p.volumeShownL : null,
        mixMmolPerL: strength && mixL > 0 ? (1000 * strength.trueMolPerL * litres(p.solution)) / mixL : null,
      }
    })
}

/** Units in which an ingredient can be stated, the one of the bench first. */
export function unitsOf(knob: AmountKnob): readonly AmountUnit[] {
  return [knob.volumeMl === null ? 'g' : 'mL', ...(knob.mixMmolPerL !== null && knob.mixMmolPerL > 0 ? (['mmol/L'] as const) : []), 'times']
}

/** What one times the recipe is in this unit. */
function wholeIn(knob: AmountKnob, unit: AmountUnit): number {
  switch (unit) {
    case 'g':
      return knob.massG
    case 'mL':
      return knob.volumeMl ?? Number.NaN
    case 'mmol/L':
      return knob.mixMmolPerL ?? Number.NaN
    case 'times':
      return 1
  }
}

/** A factor on the recipe as a number in a unit. */
export const inUnit = (knob: AmountKnob, factor: number, unit: AmountUnit): number => factor * wholeIn(knob, unit)
/** A number in a unit as a factor on the recipe; not a number where the unit says nothing. */
export const asFactor = (knob: AmountKnob, value: number, unit: AmountUnit): number => value / wholeIn(knob, unit)

/** True when nothing is held. */
export const isUnchanged = (c: Changes): boolean =>
  Object.keys(c.amounts).length === 0 && c.celsius === null && c.depthCm === null && Object.keys(c.constants).length === 0

/** True when something is held that can be written into the document. */
export const canBeWritten = (c: Changes): boolean => Object.keys(c.amounts).length > 0 || c.celsius !== null || c.depthCm !== null

/** One amount set, or let go of at 1. */
export function withAmount(c: Changes, key: string, factor: number): Changes {
  const { [key]: _, ...others } = c.amounts
  return { ...c, amounts: factor === 1 ? others : { ...others, [key]: factor } }
}
/** One constant set, or let go of at 1. */
export function withConstant(c: Changes, name: string, factor: number): Changes {
  const { [name]: _, ...others } = c.constants
  return { ...c, constants: factor === 1 ? others : { ...others, [name]: factor } }
}

/** Four digits, as documents are written: a decimal point, no grouping, no exponent between a millionth and a million. */
export function documentNumber(value: number): string {
  const rounded = Number(value.toPrecision(4))
  return Math.abs(rounded) >= 1e6 || (rounded !== 0 && Math.abs(rounded) < 1e-6) ? rounded.toExponential() : String(rounded)
}

const ABSOLUTE_ZERO_C = -273.15

/**
 * The held changes as edits of the document: each amount in the way it was stated (strength, in the mix, mass, volume), scaled. What was
 * really weighed becomes the target, as the rehearsal counts it. Constants belong to the model and are not written.
 */
export function editsOf(changes: Changes, prepared: Prepared, vesselId: string): readonly Edit[] {
  const edits: Edit[] = []
  for (const solution of prepared.demonstration.solutions) {
    for (const ingredient of solution.ingredients) {
      const factor = changes.amounts[`${solution.id}/${ingredient.bottle}`]
      if (factor === undefined) continue
      const path = ['solutions', solution.id, 'with', ingredient.bottle]
      const { weighed, target } = ingredient
      if (weighed) {
        edits.push({ path, value: scaledText(weighed.text, factor, weighed.value, weighed.kind === 'volume' ? 'L' : 'g') })
      } else if (target.state === 'in-mix') {
        edits.push({ path, value: { 'in the mix': scaledText(target.quantity.text, factor, target.quantity.value, 'mol/L') } })
      } else {
        const unit = target.state === 'mass' ? 'g' : target.state === 'volume' ? 'L' : 'mol/L'
        edits.push({ path, value: scaledText(target.quantity.text, factor, target.quantity.value, unit) })
      }
    }
  }
  if (changes.celsius !== null) edits.push({ path: ['room', 'temperature'], value: `${documentNumber(changes.celsius)} degC` })
  if (changes.depthCm !== null) edits.push({ path: ['vessels', vesselId, 'depth'], value: `${documentNumber(changes.depthCm)} cm` })
  return edits
}

/** A written quantity ("0.186 mol/L", "12.0 +/- 0.3 %") with its number scaled and its unit kept; without a readable number in the base unit. */
export function scaledText(text: string, factor: number, value: number, baseUnit: string): string {
  const read = /^\s*(\d+(?:\.\d*)?(?:[eE][+-]?\d+)?|\.\d+)\s*(?:(?:\+\/-|±)\s*[\d.]+(?:[eE][+-]?\d+)?\s*)?([^\d\s].*)$/.exec(text)
  const number = read ? Number(read[1]) : Number.NaN
  if (!read || !Number.isFinite(number)) return `${documentNumber(value * factor)} ${baseUnit}`
  return `${documentNumber(number * factor)} ${read[2]!.trim()}`
}

/** Bounds of the sliders: five times less to five times more, ten degrees around; our own choice. */
export const AMOUNT_FACTOR = 5
export const AROUND_K = 10
/** The room's temperature as the document has it, °C. */
export const roomCelsius = (prepared: Prepared): number => Number((prepared.demonstration.room.temperatureK + ABSOLUTE_ZERO_C).toFixed(2))
