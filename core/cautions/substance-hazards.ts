/** Hazards of what stands in bottles and of solutions as made, by the classes of their substances and strength bands. */
import { formatNumber } from '@beakertide/basis/units'
import type { Source } from '@beakertide/basis/sources'
import type { Caution, Severity } from './caution.ts'
import { type Content, bareFormula } from './contents.ts'
import type { GhsBand, GhsSubstance, HazardFacts } from './hazard-facts.ts'
import { mixtureCodes } from './mixture-classes.ts'
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

/** From this mass fraction on a liquid carries the label of the pure substance (our choice). */
const AS_PURE_FROM = 0.9

/** Pictogram and signal word that statements of a diluted bottle ask for; pictograms after precedence (LAB-1 to LAB-3). */
export function labelOf(codes: readonly string[]): {
  readonly hCodes: readonly string[]
  readonly euhCodes: readonly string[]
  readonly signalWord: string
  readonly pictograms: readonly string[]
} {
  const some = (shape: RegExp): boolean => codes.some((c) => shape.test(c))
  const skull = some(/^H(30[01]|31[01]|33[01])/)
  const corrosive = some(/^H(314|318|290)/)
  const body = some(/^H(334|340|341|35[01]|36[01]|37[0-3])/)
  const mild = some(/^H(302|312|332|317|335|336)/) || (!corrosive && some(/^H31[59]/))
  const found: readonly (readonly [string, boolean])[] = [
    ['GHS02', some(/^H22/)],
    ['GHS03', some(/^H27/)],
    ['GHS05', corrosive],
    ['GHS06', skull],
    ['GHS07', mild && !skull],
    ['GHS08', body],
    ['GHS09', some(/^H4(00|10|11)/)],
  ]
  const danger = skull || some(/^H(22[45]|271|314|318|334|340|350|360|370|372)/)
  const hCodes = codes.filter((c) => c.startsWith('H'))
  return {
    hCodes,
    euhCodes: codes.filter((c) => c.startsWith('EUH')),
    signalWord: danger ? 'Danger' : hCodes.some((c) => !/^H4(11|12)/.test(c)) ? 'Warning' : 'none',
    pictograms: found.filter(([, there]) => there).map(([picture]) => picture),
  }
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
    const listed = facts.bands.some((b) => b.substanceId === row.id)
    // A weak solution of a substance that is classed as such: the mixture rules, not the pure substance's label.
    const diluted = liquid && !listed && !isOfSolution(row) && bottle.massFraction < AS_PURE_FROM
    const label = diluted ? labelOf(codesOf([{ row, massFraction: bottle.massFraction }], facts)) : null
    found.push(
      describe(
        'cautions/bottle-hazard',
        about,
        name,
        banded ?? (label ? { ...row, ...label } : row),
        label ? `${numbers}; classed by the mixture rules` : numbers,
        facts,
      ),
    )
  }
  const licence = licenceNote(bottle)
  return licence ? [...found, licence] : found
}

const MAY_NEED_LICENCE = /precursor|restricted|licen|authoris|SVHC|carcinogen|control/i
/** A strength counts as above a limit only when the label would show it, % w/w (our choice). */
const SAME_PERCENT = 0.05
const ABOVE = /above (\d+(?:\.\d+)?) % w\/w/i

/** Restriction notes are shown as a question to the authority; a strength named in them is compared with the bottle. */
function licenceNote(bottle: SceneBottle): Caution | null {
  const text = bottle.substance.restriction
  if (!MAY_NEED_LICENCE.test(text)) return null
  const limit = ABOVE.exec(text)
  if (limit && bottle.massFraction * 100 <= Number(limit[1]) + SAME_PERCENT) return null
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
/** The rules of mixture-classes.ts: read in parts, remembered in others (the rows say which). */
const MIXTURE_RULES: Source = { source: 'GHS mixture rules, data/hazards/ghs_rules.csv', seen: 'memory' }

/** A row that describes a solution as sold ("ferroin 0.025 mol/L"): its classes cannot be taken apart, so its own strength decides. */
const isOfSolution = (row: GhsSubstance): boolean => row.formula.endsWith('(aq)')

/** Statements of a solution: the mixture rules for what is classed as a substance, cut-offs for what is classed as a solution. */
function codesOf(parts: readonly { readonly row: GhsSubstance; readonly massFraction: number }[], facts: HazardFacts): readonly string[] {
  const ingredients = parts.map((p) => ({ ...p, bands: facts.bands.filter((b) => b.substanceId === p.row.id) }))
  const asSold = ingredients.filter((i) => isOfSolution(i.row) && i.bands.length === 0)
  const cut = asSold.flatMap((i) =>
    [...i.row.hCodes, ...i.row.euhCodes].filter(
      (c) => !c.startsWith('H27') && i.massFraction >= (SEVERE.test(c) ? CUT_OFF_SEVERE : CUT_OFF),
    ),
  )
  return [...new Set([...mixtureCodes(ingredients.filter((i) => !asSold.includes(i))), ...cut])].sort()
}

/**
 * Hazards of a solution as made: strength bands and specific limits first, then the additive rules for mixtures. What its
 * ingredients without a row would add is not known; their bottles carry a caution of their own.
 */
export function solutionHazards(solution: Content, names: ReadonlyMap<string, string>, facts: HazardFacts): readonly Caution[] {
  const parts = solution.shares.flatMap((share) => {
    const name = names.get(share.formula) ?? share.formula
    const row = ghsRow(share.cas, share.formula, name, facts)
    return row ? [{ row, massFraction: share.massFraction, name }] : []
  })
  const codes = codesOf(parts, facts)
  if (codes.length === 0) return []
  const severity = codes.reduce<Severity>((worst, c) => (severityOfStatement(c) > worst ? severityOfStatement(c) : worst), 1)
  const advice = ADVICE.filter(([shape]) => codes.some((c) => shape.test(c))).map(([, text]) => text)
  return [
    {
      code: 'cautions/solution-hazard',
      severity,
      about: solution.name,
      what: `as made: ${statements(codes, facts)}`,
      instead: `Label it so${advice.length > 0 ? `; ${advice.join('; ')}` : ''}.`,
      numbers: parts
        .filter((p) => p.row.hCodes.length > 0)
        .map((p) => `${p.name} ${percent(p.massFraction)}`)
        .join('; '),
      source: MIXTURE_RULES,
    },
  ]
}
