/** Hazards of what stands in bottles and of solutions as made, by the classes of their substances and strength bands. */
import type { Source } from '@beakertide/basis/sources'
import { formatNumber } from '@beakertide/basis/units'
import type { Caution, Severity } from './caution.ts'
import { type Content, bareFormula } from './contents.ts'
import type { GhsBand, GhsSubstance, HazardFacts } from './hazard-facts.ts'
import type { HazardClass } from './ghs-rules.ts'
import { mixtureClasses } from './mixture-classes.ts'
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
  let kept = rowsFound.get(facts)
  if (kept === undefined) rowsFound.set(facts, (kept = new Map()))
  const key = `${cas}|${formula}|${name}`
  if (!kept.has(key)) {
    if (kept.size >= MOST_ROWS_FOUND) kept.clear()
    kept.set(key, searchRow(cas, formula, name, facts))
  }
  return kept.get(key)
}

/** The substances of some demonstrations; found once, since they are asked for at every change of an amount. */
const rowsFound = new WeakMap<HazardFacts, Map<string, GhsSubstance | undefined>>()
const MOST_ROWS_FOUND = 256

function searchRow(cas: string | null, formula: string, name: string, facts: HazardFacts): GhsSubstance | undefined {
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

/** Pictogram and signal word that statements ask for, and the statements that stay; after precedence (LAB-1 to LAB-3, LAB-6, LAB-7). */
export function labelOf(codes: readonly string[]): {
  readonly hCodes: readonly string[]
  readonly euhCodes: readonly string[]
  readonly signalWord: string
  readonly pictograms: readonly string[]
} {
  const some = (shape: RegExp): boolean => codes.some((c) => shape.test(c))
  const skull = some(/^H(30[01]|31[01]|33[01])/)
  const corrosive = some(/^H(314|318|290)/)
  const breathSensitiser = some(/^H334/)
  const body = breathSensitiser || some(/^H(304|340|341|35[01]|36[01]|37[0-3])/)
  const irritant = some(/^H31[59]/) && !corrosive && !breathSensitiser
  const mild = some(/^H(302|312|332|335|336)/) || (some(/^H317/) && !breathSensitiser) || irritant
  const found: readonly (readonly [string, boolean])[] = [
    ['GHS01', some(/^H20\d|^H24[01]/)],
    ['GHS02', some(/^H(22[0-6]|24[12]|25\d|26\d)/)],
    ['GHS03', some(/^H27/)],
    ['GHS05', corrosive],
    ['GHS06', skull],
    ['GHS07', mild && !skull],
    ['GHS08', body],
    ['GHS09', some(/^H4(00|10|11)/)],
  ]
  const danger = skull || some(/^H(20[0-3]|22[0245]|24[01]|250|251|260|271|304|314|318|334|340|350|360|370|372)/)
  const hCodes = codes.filter((c) => c.startsWith('H'))
  return {
    hCodes: hCodes.filter((c) => !(c === 'H400' && hCodes.includes('H410')) && !(c === 'H318' && hCodes.includes('H314'))),
    euhCodes: codes.filter((c) => c.startsWith('EUH')),
    signalWord: danger ? 'Danger' : hCodes.some((c) => !/^H4(11|12|13)/.test(c)) ? 'Warning' : 'none',
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
    const classes = diluted ? classesOf([{ row, massFraction: bottle.massFraction }], facts) : null
    const label = classes ? labelOf(classes.map((c) => c.statement)) : null
    const said = describe(
      'cautions/bottle-hazard',
      about,
      name,
      banded ?? (label ? { ...row, ...label } : row),
      label ? `${numbers}; classed by the mixture rules` : numbers,
      facts,
    )
    const own = banded ?? row
    const stated = (): readonly HazardClass[] => [...own.hCodes, ...own.euhCodes].map((statement) => statedClass(statement, own, banded))
    found.push({
      ...said,
      label: {
        signalWord: (label ?? own).signalWord,
        pictograms: (label ?? own).pictograms,
        classes: classes ?? stated(),
      },
    })
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

/** A class that the tables give a substance or a strength band as it is. */
function statedClass(
  statement: string,
  own: { readonly classes: readonly string[]; readonly source: Source },
  banded: GhsBand | undefined,
): HazardClass {
  return {
    statement,
    className: own.classes.join('; '),
    rule: banded ? 'GEN-3' : 'GEN-1',
    paragraph: banded ? 'strength band of the substance' : 'classification of the substance as supplied',
    numbers: banded ? `from ${percent(banded.from)}${Number.isFinite(banded.to) ? ` to below ${percent(banded.to)}` : ''}` : '',
    seen: own.source.seen,
  }
}

/** Classes below the lower cut-off of GEN-2: CMR 1, sensitisers, acute toxicity 1 to 3, aquatic acute or chronic 1. */
const SEVERE = /^H(30[01]|31[01]|33[01]|317|334|340|350|360|400|410)/
/** GEN-2, read R-CLP413 R-CLP313 R-HUcut: an ingredient below these is usually left out. */
const CUT_OFF = 0.01
const CUT_OFF_SEVERE = 0.001
/** The rules of mixture-classes.ts: read in parts, remembered in others (the rows say which). */
const MIXTURE_RULES: Source = { source: 'GHS mixture rules, data/hazards/ghs_rules.csv', seen: 'mixed' }

/** A row that describes a solution of one strength as sold ("ferroin solution 0.025 mol/L"): its classes cannot be taken apart, so its own strength decides. */
const isOfSolution = (row: GhsSubstance): boolean => /\d (mol\/L|%)/.test(row.name)

interface Part {
  readonly row: GhsSubstance
  readonly massFraction: number
}

/** Classes of a liquid: the mixture rules for what is classed as a substance, cut-offs for what is classed as a solution. */
function classesOf(parts: readonly Part[], facts: HazardFacts, unknown = 0): readonly HazardClass[] {
  const ingredients = parts.map((p) => ({ ...p, bands: facts.bands.filter((b) => b.substanceId === p.row.id) }))
  const asSold = ingredients.filter((i) => isOfSolution(i.row) && i.bands.length === 0)
  const cut = asSold.flatMap((i) =>
    [...i.row.hCodes, ...i.row.euhCodes]
      .filter((c) => !c.startsWith('H27') && i.massFraction >= (SEVERE.test(c) ? CUT_OFF_SEVERE : CUT_OFF))
      .map(
        (statement): HazardClass => ({
          statement,
          className: i.row.classes.join('; '),
          rule: 'GEN-2',
          paragraph: facts.mixtureRules['GEN-2']?.paragraph ?? '',
          numbers: `${i.row.name} ${percent(i.massFraction)}, over the cut-off`,
          seen: i.row.source.seen,
        }),
      ),
  )
  const summed = mixtureClasses(
    ingredients.filter((i) => !asSold.includes(i)),
    facts.mixtureRules,
    unknown,
  )
  const met = new Set(summed.map((c) => c.statement))
  return [...summed, ...cut.filter((c) => !met.has(c.statement))].sort((a, b) => (a.statement < b.statement ? -1 : 1))
}

/** Classes of a liquid as put together, and the parts of it that have any. */
export function classesOfLiquid(
  liquid: Content,
  names: ReadonlyMap<string, string>,
  facts: HazardFacts,
): { readonly classes: readonly HazardClass[]; readonly parts: string } {
  let unknown = 0
  const parts = liquid.shares.flatMap((share) => {
    const name = names.get(share.formula) ?? share.formula
    const row = ghsRow(share.cas, share.formula, name, facts)
    if (!row) unknown += share.massFraction
    return row ? [{ row, massFraction: share.massFraction, name }] : []
  })
  return {
    classes: classesOf(parts, facts, unknown),
    parts: parts
      .filter((p) => p.row.hCodes.length > 0)
      .map((p) => `${p.name} ${percent(p.massFraction)}`)
      .join('; '),
  }
}

/**
 * Hazards of a liquid as put together: strength bands and specific limits first, then the additive rules for mixtures. What its
 * ingredients without a row would add is not known; their bottles carry a caution of their own. Null when it reaches no class.
 */
export function liquidHazard(
  code: string,
  about: string,
  said: string,
  liquid: Content,
  names: ReadonlyMap<string, string>,
  facts: HazardFacts,
): Caution | null {
  const { classes, parts } = classesOfLiquid(liquid, names, facts)
  if (classes.length === 0) return null
  const codes = classes.map((c) => c.statement)
  const label = labelOf(codes)
  const severity = codes.reduce<Severity>((worst, c) => (severityOfStatement(c) > worst ? severityOfStatement(c) : worst), 1)
  const advice = ADVICE.filter(([shape]) => codes.some((c) => shape.test(c))).map(([, text]) => text)
  const signal = label.signalWord === 'none' ? 'no signal word' : label.signalWord
  const pictures = label.pictograms.length > 0 ? ` (${label.pictograms.join(' ')})` : ''
  return {
    code,
    severity,
    about,
    what: `${said}: ${signal}${pictures}. ${statements(codes, facts)}`,
    instead: `${code === 'cautions/solution-hazard' ? 'Label it so' : 'Treat it so'}${advice.length > 0 ? `; ${advice.join('; ')}` : ''}.`,
    numbers: parts,
    label: { signalWord: label.signalWord, pictograms: label.pictograms, classes },
    source: MIXTURE_RULES,
  }
}

/** Hazards of a solution as made. */
export function solutionHazards(solution: Content, names: ReadonlyMap<string, string>, facts: HazardFacts): readonly Caution[] {
  const caution = liquidHazard('cautions/solution-hazard', solution.name, 'as made', solution, names, facts)
  return caution ? [caution] : []
}
