/** Acute toxicity of a mixture by the additive estimate (rules AT-1, AT-2, AT-L, AT-P of data/hazards/ghs_rules.csv). */
import { formatNumber } from '@beakertide/basis/units'
import { acuteTable, type HazardClass, limitOf, type MixtureRules, rule } from './ghs-rules.ts'

/** An ingredient that is poisonous by a route: fraction of mass and estimate in the route's unit. */
export interface PoisonousPart {
  readonly massFraction: number
  readonly estimate: number
}

/**
 * Acute toxicity estimate of a mixture, in the unit of the parts: AT-1 1/ATE = sum(x/ATE); above 10 % of unknown toxicity AT-2,
 * (1 - unknown)/ATE = sum(x/ATE). Infinite when nothing in it is known to be poisonous. `unknown`: fraction of mass, 0 to 1.
 */
export function acuteToxicityEstimate(parts: readonly PoisonousPart[], unknown: number, rules: MixtureRules): number {
  const inverse = parts.reduce((sum, p) => sum + p.massFraction / p.estimate, 0)
  if (!(inverse > 0)) return Number.POSITIVE_INFINITY
  return (unknown > limitOf('AT-2', rules) ? 1 - unknown : 1) / inverse
}

/** Category 1 to 4 by the upper limits; null above the last. */
export function acuteCategory(estimate: number, limits: readonly number[]): number | null {
  const at = limits.findIndex((upTo) => estimate <= upTo)
  return at < 0 ? null : at + 1
}

/** Routes: name in the substance table, rules, statement of each category. Breathed things are judged as mist, which is what a splash makes. */
export const ACUTE_ROUTES: readonly { readonly route: string; readonly table: string; readonly codes: readonly string[] }[] = [
  { route: 'oral', table: 'oral', codes: ['H300', 'H300', 'H301', 'H302'] },
  { route: 'dermal', table: 'dermal', codes: ['H310', 'H310', 'H311', 'H312'] },
  { route: 'inhal', table: 'inhalation_dust_mist', codes: ['H330', 'H330', 'H331', 'H332'] },
]

export interface AcuteIngredient {
  readonly name: string
  readonly massFraction: number
  /** Category by a route, "Acute Tox. 3* oral"; null without one. */
  readonly category: number | null
  /** Its own estimate, where one is stated. */
  readonly own: number | null
}

/** The class that a route earns; null when the mixture is milder than category 4. */
export function acuteClass(
  { route, table, codes }: (typeof ACUTE_ROUTES)[number],
  ingredients: readonly AcuteIngredient[],
  unknown: number,
  rules: MixtureRules,
): HazardClass | null {
  const { limits, estimates, unit } = acuteTable(table, rules)
  const parts = ingredients.flatMap((i) =>
    i.category === null ? [] : [{ name: i.name, massFraction: i.massFraction, estimate: i.own ?? estimates[i.category - 1] ?? Number.NaN }],
  )
  const estimate = acuteToxicityEstimate(parts, unknown, rules)
  const category = acuteCategory(estimate, limits)
  if (category === null) return null
  const applied = rule(unknown > limitOf('AT-2', rules) ? 'AT-2' : 'AT-1', rules)
  const sum = parts.map((p) => `${p.name} ${formatNumber(100 * p.massFraction, 3)}/${formatNumber(p.estimate, 3)}`).join(' + ')
  const unsure =
    applied.id === 'AT-2' ? `; ${formatNumber(100 * unknown, 2)} % of the mixture is of unknown toxicity, which the label must say` : ''
  return {
    statement: codes[category - 1] ?? '',
    className: `Acute Tox. ${category} ${route}`,
    rule: applied.id,
    paragraph: `${applied.paragraph}; ${rule(`AT-L-${table}`, rules).paragraph}`,
    numbers: `${applied.id === 'AT-2' ? '(100 - unknown)' : '100'}/ATE = ${sum}: ATE ${formatNumber(estimate, 3)} ${unit.replace(/ \(.*/, '')}, limit ${limits[category - 1]}${unsure}`,
    seen: applied.source.seen,
  }
}
