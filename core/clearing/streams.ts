/** Where things go: solid waste, collected liquid, and what only the local authority may let go. */
import { formatNumber, formatQuantity } from '@beakertide/basis/units'
import type { CollectOnly } from './clearing-facts.ts'
import type { ClearingPlan, MetalLeft, OrganicLeft, PlaceAnswer, PublishedLimit, Range, Stream } from './clearing-plan.ts'

/** The line that heads every plan and never goes away. */
export const LOCAL_RULE =
  'Treatment at the bench is legal only where your institution and local authority allow it, and nothing here permits pouring anything into a drain. Ask first; in doubt collect, label and hand over.'

const range = (r: Range): string => {
  const [low, high] = [formatNumber(r.low, 2), formatNumber(r.high, 2)]
  return low === high ? high : `${low} to ${high}`
}

/** "manganese: published examples 1 to 5 mg/L (3 places)": examples, never a permission. */
function exampleLimits(published: readonly PublishedLimit[]): readonly string[] {
  return [...new Set(published.map((l) => l.parameter))].map((parameter) => {
    const limits = published.filter((l) => l.parameter === parameter)
    const values = limits.map((l) => l.mgPerL)
    const places = new Set(limits.map((l) => l.authority)).size
    return `${parameter}: published examples ${range({ low: Math.min(...values), high: Math.max(...values) })} mg/L (${places} place${places > 1 ? 's' : ''})`
  })
}

/** A strip reads no oxidant below this, mol/L of electrons (5 mg/L peroxide; data/hazards/end_point_tests.csv). */
const NO_OXIDANT_MOL_PER_L = 3e-4

const volumeText = (r: Range): string => {
  const [low, high] = [formatQuantity(r.low, 'volume', 2), formatQuantity(r.high, 'volume', 2)]
  return low === high ? high : `${low} to ${high}`
}

export interface StreamInput {
  readonly metals: readonly MetalLeft[]
  readonly organics: readonly OrganicLeft[]
  readonly composition: ClearingPlan['composition']
  readonly collectOnly: readonly CollectOnly[]
  /** Sulfite, thiosulfate or ascorbic acid is left over. */
  readonly reductantLeft: boolean
  readonly liquid: ClearingPlan['liquid']
  /** Oxidant that the chosen reductant does not reach. */
  readonly oxidantLeftMol: Range
  readonly place: PlaceAnswer | null
  readonly published: readonly PublishedLimit[]
}

/** Streams in the order solid, collected, local authority. The last one never says more than that it may be asked for. */
export function streamsOf(input: StreamInput): readonly Stream[] {
  const streams: Stream[] = input.metals.map((m) => ({
    name: `${m.metal} solid`,
    goes: 'solid waste',
    what: `${m.solid}, wet cake, kept wet; hazardous or not by national test: collect, never the bin unasked`,
    reasons: [m.note],
    amount: `${formatQuantity(m.dryG, 'mass', 3)} dry, ${range(m.wetG)} g wet`,
  }))
  const content = [
    ...(input.liquid.pH ? [`pH ${range(input.liquid.pH)}`] : []),
    ...input.composition.map((c) => `${c.name} ${range(c.mgPerL)} mg/L`),
    ...input.metals.map((m) => `${m.metal} ${range(m.expectMgPerL)} mg/L expected`),
  ].join(', ')
  const halogens = input.organics.filter((o) => o.boundHalogenMgClPerL.high > 0)
  const reasons: string[] = [
    ...input.collectOnly.map((c) => `${c.name}: ${c.collect}`),
    ...(input.oxidantLeftMol.high > NO_OXIDANT_MOL_PER_L * input.liquid.volumeL.high
      ? ['oxidant is left in it: it stays an oxidiser']
      : []),
    ...(input.reductantLeft ? ['sulfite or thiosulfate is left in it: it frees SO2 with the next acid it meets'] : []),
    ...(halogens.length > 0
      ? [
          `organically bound halogen ${range({ low: Math.min(...halogens.map((o) => o.boundHalogenMgClPerL.low)), high: halogens.reduce((s, o) => s + o.boundHalogenMgClPerL.high, 0) })} mg/L as Cl`,
        ]
      : []),
  ]
  const { place } = input
  const amount = volumeText(input.liquid.volumeL)
  if (place?.collectAll) reasons.push(`${place.name} (${place.source}) has everything collected`)
  else if (place && place.over.length > 0) {
    reasons.push(`over the limits you entered for ${place.name} (${place.source}), or not surely under them: ${place.over.join(', ')}`)
  }
  // One liquid goes one way: what is never let go is collected, and no other way is offered beside it.
  if (reasons.length > 0) {
    streams.push({
      name: 'liquid to keep',
      goes: 'collect as liquid',
      what: [content, ...reasons].join('; '),
      reasons,
      amount,
    })
    return streams
  }
  const limits = exampleLimits(input.published)
  const asked = [
    ...(place
      ? [
          `within the limits you entered for ${place.name} (${place.source})${place.notLimited.length > 0 ? `; no limit was entered for ${place.notLimited.join(', ')}, which is no permission` : ''}`,
        ]
      : []),
    ...(limits.length > 0 ? [`limits differ from place to place (examples, no permission): ${limits.join('; ')}`] : []),
    'dyes, sugar, sulfate, iodide and organic halogen are limited or banned in some places; without a written yes it is collected',
  ]
  streams.push({
    name: 'clear liquid',
    goes: 'only if your local authority allows',
    what: [content, ...asked].join('; '),
    reasons: asked,
    amount,
  })
  return streams
}
