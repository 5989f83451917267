/** Hazards of what stands in bottles and of solutions as made, by the classes of their substances and strength bands. */
import { formatNumber } from '@beakertide/basis/units'
import type { Source } from '@beakertide/basis/sources'
import type { Caution, Severity } from './caution.ts'
import { type Content, type Share, bareFormula } from './contents.ts'
import type { GhsBand, GhsSubstance, HazardFacts } from './hazard-facts.ts'
import type { SceneBottle } from './scene.ts'

/**
 * Severity of a hazard statement on our scale of four (our judgement, by the meaning of the statement):
 * deadly, explosive, cancer, heritable or unborn child 4 … burns, poison, strong oxidiser 3; harmful, irritant 2; environment 1.
 */
const SEVERITY_BY_H: readonly (readonly [RegExp, Severity])[] = [
  [/^H(20\d|240|241|300|310|330|340|350|360)/, 4],
  [/^H(22[0-8]|24\d|25\d|26\d|27\d|301|311|314|318|331|334|341|351|361|370|372)/, 3],
  [/^EUH0(29|31|32|71)/, 3],
  [/^H(29|3)/, 2],
]

export function severityOfStatement(code: string): Severity {
  return SEVERITY_BY_H.find(([shape]) => shape.test(code))?.[1] ?? 1
}

/** Advice that follows from the statements; each sentence once. */
const ADVICE: readonly (readonly [RegExp, string])[] = [
  [/^H(314|318|319|315)/, "goggles and gloves from the maker's table"],
  [/^H(33[0-5]|336)|^EUH0(29|31|32|71)/, 'open and weigh it in a hood'],
  [/^H(27\d)/, 'keep it from anything that burns, and never weigh it on paper'],
  [/^H22/, 'no flame and no spark'],
  [/^H(334|317)/, 'nobody with asthma or a known allergy handles it'],
  [/^H3(40|41|50|51|60|61|72|73)/, 'make no dust, touch none of it, ask whether something milder does'],
  [/^H4/, 'collect all of it'],
]

/** The GHS row of a substance: by CAS number (hydrates too), else by formula without crystal water, else by name. */
export function ghsRow(cas: string | null, formula: string, name: string, facts: HazardFacts): GhsSubstance | undefined {
  const bare = bareFormula(formula)
  return (
    (cas === null ? undefined : facts.substances.find((g) => g.cas.includes(cas))) ??
    facts.substances.find((g) => bareFormula(g.formula) === bare && g.formula !== '') ??
    facts.substances.find((g) => g.name.toLowerCase() === name.toLowerCase())
  )
}

/** The strength band of a substance's solution; undefined when no bands are known for it or the strength lies below the first. */
export function bandOf(substanceId: string, massFraction: number, facts: HazardFacts): GhsBand | undefined {
  return facts.bands.find((b) => b.substanceId === substanceId && massFraction >= b.from && massFraction < b.to)
}

/** "H272 oxidiser, feeds a fire; H318 can damage eyes for good". */
export function statements(codes: readonly string[], facts: HazardFacts): string {
  return codes.map((c) => (facts.codes[c] ? `${c} ${facts.codes[c]}` : c)).join('; ')
}

const percent = (x: number): string => `${formatNumber(100 * x, 3)} % w/w`

function describe(
  code: string,
  about: string,
  name: string,
  row: {
    readonly hCodes: readonly string[]
    readonly euhCodes: readonly string[]
    readonly signalWord: string
    readonly pictograms: readonly string[]
    readonly source: Source
  },
  numbers: string,
  facts: HazardFacts,
): Caution {
  const codes = [...row.hCodes, ...row.euhCodes]
  const signal = row.signalWord === 'none' ? 'no signal word' : row.signalWord
  const advice = ADVICE.filter(([shape]) => codes.some((c) => shape.test(c))).map(([, text]) => text)
  return {
    code,
    severity: codes.reduce<Severity>((worst, c) => (severityOfStatement(c) > worst ? severityOfStatement(c) : worst), 1),
    about,
    what:
      codes.length === 0
        ? `${name}: not classified by these tables`
        : `${name}: ${signal}${row.pictograms.length > 0 ? ` (${row.pictograms.join(' ')})` : ''}. ${statements(codes, facts)}`,
    instead: advice.length > 0 ? `${advice.join('; ')}.` : 'Ordinary care; see the safety data sheet.',
    ...(numbers === '' ? {} : { numbers }),
    source: row.source,
  }
}

/** What the bottle's label should say. A substance without a row is a caution of its own: unknown is not harmless. */
export function bottleHazards(bottle: SceneBottle, facts: HazardFacts): readonly Caution[] {
  const { substance } = bottle
  const about = `bottle "${bottle.id}"`
  const row = ghsRow(substance.cas, substance.formula, substance.name, facts)
  const found: Caution[] = []
  if (!row) {
    found.push({
      code: 'cautions/hazards-unknown',
      severity: 2,
      about,
      what: `${substance.name}: its hazard classes are not in these tables`,
      instead: "Read the supplier's safety data sheet before opening it, and treat it as harmful until then.",
      source: { source: 'data/hazards/ghs_substances.csv has no row for it', seen: 'assumed' },
    })
  } else {
    const liquid = !bottle.solid
    const banded = liquid ? bandOf(row.id, bottle.massFraction, facts) : undefined
    const numbers = liquid ? `${percent(bottle.massFraction)}${banded?.note ? `; ${banded.note}` : ''}` : row.notes
    const name = liquid ? `${substance.name}, ${percent(bottle.massFraction)}` : substance.name
    const asPure = liquid && !banded && bottle.massFraction < 0.9
    found.push(
      describe(
        'cautions/bottle-hazard',
        about,
        name,
        banded ?? row,
        asPure ? `${numbers}; classes of the substance as listed, this strength may be classed lower` : numbers,
        facts,
      ),
    )
  }
  const licence = licenceNote(bottle)
  return licence ? [...found, licence] : found
}

const MAY_NEED_LICENCE = /precursor|restricted|licen|authoris|SVHC|carcinogen|control/i
const ABOVE = /above (\d+(?:\.\d+)?) % w\/w/i

/** Restriction notes are shown as a question to the authority; a strength named in them is compared with the bottle. */
function licenceNote(bottle: SceneBottle): Caution | null {
  const text = bottle.substance.restriction
  if (!MAY_NEED_LICENCE.test(text)) return null
  const limit = ABOVE.exec(text)
  if (limit && bottle.massFraction * 100 <= Number(limit[1])) return null
  return {
    code: 'cautions/may-need-licence',
    severity: 2,
    about: `bottle "${bottle.id}"`,
    what: `${bottle.substance.name}: ${text}`,
    instead:
      'A licence, an age limit or a ban may apply where you are: ask your authority and your institution before you order or carry it.',
    source: { source: 'data/tables/substances.csv, restriction_flag', seen: 'memory' },
  }
}

/** Cut-offs below which an ingredient is usually left out (data/hazards/ghs_rules.csv GEN-2, read R-CLP413 R-CLP313 R-HUcut). */
const CUT_OFF = 0.01
const CUT_OFF_SEVERE = 0.001
/** Classes with the lower cut-off: CMR 1, sensitisers, acute toxicity 1 to 3, aquatic acute or chronic 1. */
const SEVERE = /^H(30[01]|31[01]|33[01]|317|334|340|350|360|400|410)/

function ingredientCodes(share: Share, name: string, facts: HazardFacts): { codes: readonly string[]; source: Source | null; how: string } {
  const row = ghsRow(share.cas, share.formula, name, facts)
  if (!row) return { codes: [], source: null, how: '' }
  const strength = `${name} ${percent(share.massFraction)}`
  if (facts.bands.some((b) => b.substanceId === row.id)) {
    const band = bandOf(row.id, share.massFraction, facts)
    return {
      codes: band ? [...band.hCodes, ...band.euhCodes] : [],
      source: band?.source ?? row.source,
      how: `${strength} by its strength band`,
    }
  }
  const codes = row.hCodes.filter((c) => share.massFraction >= (SEVERE.test(c) ? CUT_OFF_SEVERE : CUT_OFF) && !c.startsWith('H27'))
  return {
    codes,
    source: row.source,
    how: `${strength} by the cut-off of ${100 * CUT_OFF} % (${100 * CUT_OFF_SEVERE} % for the severe classes)`,
  }
}

/**
 * Hazards of a solution as made. Where strength bands exist they decide; other ingredients are listed with the statements
 * they can still carry at their strength (cut-offs, an upper bound: the additive mixture rules are not applied here).
 */
export function solutionHazards(solution: Content, names: ReadonlyMap<string, string>, facts: HazardFacts): readonly Caution[] {
  const parts = solution.shares.map((s) => ingredientCodes(s, names.get(s.formula) ?? s.formula, facts))
  const codes = [...new Set(parts.flatMap((p) => p.codes))].sort()
  if (codes.length === 0) return []
  const source = parts.find((p) => p.codes.length > 0 && p.source)?.source ?? {
    source: 'data/hazards/ghs_rules.csv',
    seen: 'memory' as const,
  }
  const severity = codes.reduce<Severity>((worst, c) => (severityOfStatement(c) > worst ? severityOfStatement(c) : worst), 1)
  const advice = ADVICE.filter(([shape]) => codes.some((c) => shape.test(c))).map(([, text]) => text)
  return [
    {
      code: 'cautions/solution-hazard',
      severity,
      about: solution.name,
      what: `at most: ${statements(codes, facts)}`,
      instead: `Label it so; ${advice.join('; ')}.`,
      numbers: parts
        .filter((p) => p.codes.length > 0)
        .map((p) => p.how)
        .join('; '),
      source,
    },
  ]
}
