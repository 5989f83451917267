/** The limits of a place, entered by its user, applied to a treated liquid; published limits stand beside as examples only. */
import type { ClearingFacts } from './clearing-facts.ts'
import type { ClearingPlan, LimitLine, PlaceAnswer, PublishedLimit, Range } from './clearing-plan.ts'

/** What can be limited: the names that a place file uses, with the words of a plan's composition they mean. */
export const LIMIT_PARAMETERS = {
  pH: 'pH',
  temperature: 'temperature',
  sulfate: 'sulfate',
  sulfite: 'sulfite and thiosulfate',
  chloride: 'chloride',
  bromide: 'bromide',
  iodide: 'iodide',
  nitrate: 'nitrate',
  ammonium: 'ammonium',
  sodium: 'sodium',
  potassium: 'potassium',
  manganese: 'Mn',
  copper: 'Cu',
  cobalt: 'Co',
  nickel: 'Ni',
  cerium: 'Ce',
  iron: 'Fe',
  'bound halogen': 'bound halogen',
  'dissolved salts': 'dissolved salts',
} as const
export type LimitParameter = keyof typeof LIMIT_PARAMETERS

export const isLimitParameter = (text: string): text is LimitParameter => Object.hasOwn(LIMIT_PARAMETERS, text)

export interface PlaceLimit {
  readonly parameter: LimitParameter
  /** pH, °C, or mg/L for everything else; null: no limit on that side. */
  readonly low: number | null
  readonly high: number | null
}

/** What the authority of one place lets into its drain, as its user wrote it down. */
export interface PlaceLimits {
  readonly name: string
  /** Who said so: a by-law, a letter. */
  readonly source: string
  readonly limits: readonly PlaceLimit[]
  /** The place lets nothing go: everything is collected. */
  readonly collectAll: boolean
}

/** What the treated liquid holds of each parameter, mg/L, pH or °C. */
export type Measured = Readonly<Partial<Record<LimitParameter, Range>>>

function verdictOf(found: Range | undefined, limit: PlaceLimit): LimitLine['verdict'] {
  if (!found) return limit.low === null ? 'not found in it' : 'not computed'
  const over = (n: number): boolean => (limit.high !== null && n > limit.high) || (limit.low !== null && n < limit.low)
  if (!over(found.low) && !over(found.high)) return 'within'
  const isAllOver = (limit.high !== null && found.low > limit.high) || (limit.low !== null && found.high < limit.low)
  return isAllOver ? 'over' : 'may be over'
}

const unitOf = (parameter: LimitParameter): LimitLine['unit'] => (parameter === 'pH' ? 'pH' : parameter === 'temperature' ? '°C' : 'mg/L')

/** Every limit with what the liquid holds; what is in it and has no limit is named, for it is not thereby allowed. */
export function judgePlace(place: PlaceLimits, measured: Measured): PlaceAnswer {
  const lines = place.limits.map((limit): LimitLine => {
    const found = measured[limit.parameter]
    return {
      parameter: limit.parameter,
      unit: unitOf(limit.parameter),
      low: limit.low,
      high: limit.high,
      found: found ?? null,
      verdict: verdictOf(found, limit),
    }
  })
  const limited = new Set(place.limits.map((l) => l.parameter))
  const measuredNames = Object.keys(measured).filter(isLimitParameter)
  return {
    name: place.name,
    source: place.source,
    collectAll: place.collectAll,
    lines,
    notLimited: measuredNames.filter((p) => !limited.has(p) && (measured[p]?.high ?? 0) > 0),
    over: lines.filter((l) => l.verdict === 'over' || l.verdict === 'may be over' || l.verdict === 'not computed').map((l) => l.parameter),
  }
}

/** Parameters of published tables as they are spelt there. */
const PUBLISHED: Readonly<Record<string, LimitParameter>> = {
  mn: 'manganese',
  cu: 'copper',
  co: 'cobalt',
  ni: 'nickel',
  fe: 'iron',
  'fe total': 'iron',
  sulfate: 'sulfate',
  chloride: 'chloride',
  ammonia: 'ammonium',
  aox: 'bound halogen',
  tds: 'dissolved salts',
}

/** Limits that other places have printed, for what is in this liquid: examples, never a permission. */
export function publishedLimits(measured: Measured, facts: ClearingFacts): readonly PublishedLimit[] {
  return facts.exampleLimits.flatMap((l): readonly PublishedLimit[] => {
    const parameter = PUBLISHED[l.parameter.toLowerCase()]
    const found = parameter ? measured[parameter] : undefined
    if (!parameter || !found || found.high <= 0 || /watercourse/i.test(l.authority)) return []
    return [{ parameter, mgPerL: l.mgPerL, found, authority: l.authority, source: l.source }]
  })
}

/** What a plan's liquid holds, for the limits. */
export function measuredOf(plan: Pick<ClearingPlan, 'composition' | 'metals' | 'organics' | 'liquid'>, roomCelsius: number): Measured {
  const out: Partial<Record<LimitParameter, Range>> = { temperature: { low: roomCelsius, high: roomCelsius } }
  for (const [parameter, name] of Object.entries(LIMIT_PARAMETERS)) {
    if (!isLimitParameter(parameter)) continue
    const line = plan.composition.find((c) => c.name === name)
    if (line) out[parameter] = line.mgPerL
    const metal = plan.metals.find((m) => m.metal === name)
    if (metal) out[parameter] = metal.expectMgPerL
  }
  const bound = plan.organics.reduce((sum, o) => sum + o.boundHalogenMgClPerL.high, 0)
  if (bound > 0) out['bound halogen'] = { low: Math.max(0, ...plan.organics.map((o) => o.boundHalogenMgClPerL.low)), high: bound }
  if (plan.liquid.pH) out.pH = plan.liquid.pH
  out['dissolved salts'] = plan.liquid.dissolvedMgPerL
  return out
}
