/** The rules by which a mixture is classed, read from data/hazards/ghs_rules.csv: one row is one place to correct. */
import { invariant } from '@beakertide/basis/problems'
import { type Rows, type Seen, type Source, seenFrom } from '@beakertide/basis/sources'

export interface MixtureRule {
  /** "SKIN-1" */
  readonly id: string
  readonly condition: string
  readonly result: string
  readonly limitText: string
  /** The limit as a fraction of mass, where the rule has one number. */
  readonly limit: number | null
  /** Paragraph or table of the UN text, or of the law that has the rule; remembered. */
  readonly paragraph: string
  readonly source: Source
}

export type MixtureRules = Readonly<Record<string, MixtureRule>>

/** One class that a mixture earns, with the rule and the numbers behind it. */
export interface HazardClass {
  /** "H314", "EUH031" */
  readonly statement: string
  /** "Skin Corr. 1A"; as far as the rule decides it. */
  readonly className: string
  /** "SKIN-1" of data/hazards/ghs_rules.csv. */
  readonly rule: string
  /** "UN GHS 3.2.3.3.2; table 3.2.3" */
  readonly paragraph: string
  /** "sulfuric acid 10 % of its limit 15 % + … = 1.31 (1 or more)" */
  readonly numbers: string
  /** How the rule came to us. */
  readonly seen: Seen
}

/** The four categories of an acute-toxicity route: upper limits and the estimates that stand in for a category. */
export interface AcuteTable {
  readonly limits: readonly number[]
  readonly estimates: readonly number[]
  readonly unit: string
}

const numbersOf = (text: string): readonly number[] => text.split('/').map((n) => Number.parseFloat(n))

/** "5/50/300/2000 mg/kg" and "cat 1/2/3/4 -> 0.5/5/100/500 mg/kg". */
export function acuteTable(route: string, rules: MixtureRules): AcuteTable {
  const four = (id: string): { readonly values: readonly number[]; readonly unit: string } => {
    const m = /(?:^|-> )([\d.]+(?:\/[\d.]+){3}) (.+)$/.exec(rule(id, rules).limitText)
    invariant(m !== null, `rule ${id} has four numbers and a unit`)
    return { values: numbersOf(m[1] ?? ''), unit: m[2] ?? '' }
  }
  const limits = four(`AT-L-${route}`)
  return { limits: limits.values, estimates: four(`AT-P-${route}`).values, unit: limits.unit }
}

/** The rule of that id; one that the tables lack is our fault. */
export function rule(id: string, rules: MixtureRules): MixtureRule {
  const found = rules[id]
  invariant(found !== undefined, `data/hazards/ghs_rules.csv has the rule ${id}`)
  return found
}

/** The limit of a rule that has one. */
export function limitOf(id: string, rules: MixtureRules): number {
  const { limit } = rule(id, rules)
  invariant(limit !== null, `rule ${id} has a limit in percent`)
  return limit
}

export function readMixtureRules(rows: Rows, source: (keys: string, status: string) => Source): MixtureRules {
  return Object.fromEntries(
    rows.map((r) => {
      const percent = r['percent'] ?? ''
      const paragraph = r['paragraph'] ?? ''
      const isUn = /^(table )?\d/.test(paragraph)
      return [
        r['rule_id'] ?? '',
        {
          id: r['rule_id'] ?? '',
          condition: r['condition'] ?? '',
          result: r['result'] ?? '',
          limitText: r['limit_or_formula'] ?? '',
          limit: percent === '' ? null : Number(percent) / 100,
          paragraph: isUn ? `UN GHS ${paragraph}` : paragraph,
          source: { ...source(r['source_key'] ?? '', r['status'] ?? ''), seen: seenFrom(r['status'] ?? '') },
        },
      ]
    }),
  )
}
