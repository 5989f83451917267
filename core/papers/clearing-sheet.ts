/** The clearing sheet: what is left, how to make it safe, and where it may go. */
import { formatNumber } from '@beakertide/basis/units'
import type { Cautions } from '../cautions/index.ts'
import type { ClearingPlan, ClearingStep, LimitLine, Range, TreatmentStage } from '../clearing/index.ts'
import { dangerBlock, sentence } from './caution-lines.ts'
import type { Block, ListItem, Paper } from './paper.ts'
import { type SpeciesBook, speciesName } from './species-book.ts'
import { typesetPaper } from './typeset.ts'

/** A limit may be passed below as well as above (pH), so nothing is called "over". */
const VERDICT_WORDS: Readonly<Record<LimitLine['verdict'], string>> = {
  within: 'within',
  'may be over': 'may be outside',
  over: 'outside',
  'not found in it': 'not found in it',
  'not computed': 'not computed',
}

/** Amounts in a clearing plan are ranges; two digits are honest. */
const DIGITS = 2
const NEARLY_EQUAL = 0.02
/** Oxidants that carry less than this share of the equivalents are named together as traces. */
const TRACE_SHARE = 1e-3

/** Less of anything, in the unit it is printed in, is nothing that a bench can show. */
const NOTHING = 1e-3

/** "3.1 to 4.8 g", or one number when both ends agree within two percent; "less than 0.001 g" where nothing is to be shown. */
export function rangeWords(range: Range, unit: string): string {
  if (unit !== '' && range.high > 0 && range.high < NOTHING) return `less than ${NOTHING} ${unit}`
  const low = formatNumber(range.low, DIGITS)
  const high = formatNumber(range.high, DIGITS)
  const same = low === high || Math.abs(range.high - range.low) <= NEARLY_EQUAL * Math.abs(range.high)
  return `${same ? high : `${low} to ${high}`} ${unit}`.trim()
}

const milli = (r: Range): Range => ({ low: 1000 * r.low, high: 1000 * r.high })
const isNone = (r: Range): boolean => r.high === 0 && r.low === 0
/** Nothing is a dash in a table. */
const orDash = (r: Range | null, unit: string): string => (r === null || isNone(r) ? '–' : rangeWords(r, unit))

/** "4.3 to 4.5": a pH in one decimal, as paper and meter read it. */
export function pHWords(r: Range): string {
  const [low, high] = [r.low.toFixed(1), r.high.toFixed(1)]
  return low === high ? low : `${low} to ${high}`
}

function leftBlocks(p: ClearingPlan, book: SpeciesBook): readonly Block[] {
  const most = Math.max(...p.left.map((l) => Math.max(l.finishedMol?.high ?? 0, l.earlyMol?.high ?? 0)), 0)
  const top = (l: ClearingPlan['left'][number]): number => Math.max(l.finishedMol?.high ?? 0, l.earlyMol?.high ?? 0)
  const listed = p.left.filter((l) => top(l) >= TRACE_SHARE * most)
  const traces = p.left.filter((l) => !listed.includes(l) && l.roles.includes('oxidant')).map((l) => l.species)
  if (listed.length === 0) return []
  const electrons = isNone(p.oxidantEquivalentsMol)
    ? 'no oxidant'
    : `the oxidants take ${rangeWords(milli(p.oxidantEquivalentsMol), 'mmol')} of electrons`
  const hasEarly = p.left.some((l) => l.earlyMol !== null)
  const hasFinished = p.left.some((l) => l.finishedMol !== null)
  return [
    {
      block: 'table',
      caption: `What is left, mmol; ${electrons}${traces.length > 0 ? `; oxidants in traces: ${traces.join(', ')}` : ''}`,
      columns: [
        { title: 'what', align: 'left' },
        { title: 'name', align: 'left' },
        ...(hasFinished ? [{ title: 'finished', align: 'right' as const }] : []),
        ...(hasEarly ? [{ title: 'stopped early', align: 'right' as const }] : []),
        { title: 'is', align: 'left' },
      ],
      rows: listed.map((l) => [
        l.species,
        speciesName(l.species, book),
        ...(hasFinished ? [orDash(l.finishedMol && milli(l.finishedMol), '')] : []),
        ...(hasEarly ? [orDash(l.earlyMol && milli(l.earlyMol), '')] : []),
        l.roles.join(', '),
      ]),
    },
  ]
}

/** Less warmth than a thermometer shows is none, K. */
const THERMOMETER_K = 0.05
function warmth(r: Range): string {
  const shown = (k: number): number => (Math.abs(k) < THERMOMETER_K ? 0 : k)
  return orDash({ low: shown(r.low), high: shown(r.high) }, '').replaceAll('-', '−')
}

/** What was computed of every step: put in, pH, warmth, gas, solid. */
function treatmentBlocks(p: ClearingPlan): readonly Block[] {
  if (p.treatment.length === 0) return []
  const arrow = (t: TreatmentStage): string =>
    t.pHBefore && t.pHAfter
      ? pHWords(t.pHBefore) === pHWords(t.pHAfter)
        ? pHWords(t.pHAfter)
        : `${pHWords(t.pHBefore)} → ${pHWords(t.pHAfter)}`
      : '–'
  const putIn = (t: TreatmentStage): string =>
    [
      ...t.additions.map((a) => `${a.formula} ${rangeWords(a.massG, 'g')}`),
      ...(isNone(t.waterL) ? [] : [`water ${rangeWords(t.waterL, 'L')}`]),
    ].join('; ') || '–'
  return [
    { block: 'heading', level: 3, text: 'As computed, step by step' },
    {
      block: 'table',
      columns: [
        { title: 'step', align: 'left' },
        { title: 'put in', align: 'left' },
        { title: 'volume, L', align: 'right' },
        { title: 'pH', align: 'right' },
        { title: 'warms by, K', align: 'right' },
        { title: 'gas, L', align: 'right' },
        { title: 'solid, g', align: 'left' },
      ],
      rows: p.treatment.map((t) => [
        t.name,
        putIn(t),
        rangeWords(t.volumeL, ''),
        arrow(t),
        warmth(t.riseK),
        t.gas.length === 0 ? '–' : t.gas.map((g) => `${g.species} ${rangeWords(g.litres, '')}`).join('; '),
        t.solids.length === 0 ? '–' : t.solids.map((s) => `${s.species} ${rangeWords(s.massG, '')}`).join('; '),
      ]),
    },
    { block: 'text', text: sentence(p.heatAssumption) },
  ]
}

/** The ways out in columns that can be compared; then what is to be known of each reductant. */
function alternativeBlocks(p: ClearingPlan): readonly Block[] {
  const hasPrice = p.alternatives.some((a) => a.price !== null)
  const [only] = p.alternatives
  if (p.alternatives.length <= 1 && !(only?.chosen ?? false)) return []
  return [
    { block: 'heading', level: 3, text: 'Ways out, side by side' },
    {
      block: 'table',
      caption: 'The plan takes the chosen one. Masses in g, gas and liquid in L; warmth if all of the dose came at once',
      columns: [
        { title: 'way', align: 'left' },
        { title: 'reductant', align: 'right' },
        { title: 'neutraliser', align: 'right' },
        { title: 'heat, kJ', align: 'right' },
        { title: 'warms by, K', align: 'right' },
        { title: 'gas', align: 'right' },
        { title: 'salt left', align: 'right' },
        { title: 'dry solid', align: 'right' },
        { title: 'liquid', align: 'right' },
        ...(hasPrice ? [{ title: 'price', align: 'right' as const }] : []),
        { title: 'leaves', align: 'left' },
      ],
      rows: p.alternatives.map((a) => [
        `${a.name}${a.chosen ? ' (chosen)' : ''}`,
        orDash(a.reductantG, ''),
        orDash(a.neutraliserG, ''),
        orDash(a.heatKJ, ''),
        orDash(a.riseK, ''),
        orDash(a.gasL, ''),
        orDash(a.saltG, ''),
        orDash(a.residueG, ''),
        orDash(a.liquidL, ''),
        ...(hasPrice ? [a.price ?? '–'] : []),
        a.leaves.length === 0 ? '–' : a.leaves.join(', '),
      ]),
    },
    {
      block: 'list',
      ordered: false,
      items: [
        ...p.reductants.map((r) => `${r.name}: ${r.note}.`),
        ...p.alternatives.filter((a) => a.id === 'collect').map((a) => `${a.name}: ${a.note}.`),
      ],
    },
  ]
}

/** Limits are printed as they were entered: no zeros behind. */
const entered = (n: number): string => String(Number(n.toPrecision(6)))
const limitText = (low: number | null, high: number | null): string =>
  low === null ? `up to ${entered(high ?? 0)}` : `${entered(low)} to ${entered(high ?? 0)}`

/** The treated liquid with the limits of the user's place; published ones only as examples. */
function liquidBlocks(p: ClearingPlan): readonly Block[] {
  const lines = [...p.composition, ...p.metals.map((m) => ({ name: `${m.metal}, dissolved, expected`, mgPerL: m.expectMgPerL }))]
  if (p.treatment.length === 0 || lines.length === 0) return []
  const published = new Map<string, number[]>()
  for (const l of p.publishedLimits) published.set(l.parameter, [...(published.get(l.parameter) ?? []), l.mgPerL])
  return [
    {
      block: 'table',
      caption: `The treated liquid${p.liquid.pH ? `, pH ${pHWords(p.liquid.pH)} from the end of the treatment to days in open air` : ''}, ${rangeWords(p.liquid.volumeL, 'L')}`,
      columns: [
        { title: 'holds', align: 'left' },
        { title: 'mg/L', align: 'right' },
      ],
      rows: [...lines.map((l) => [l.name, rangeWords(l.mgPerL, '')]), ['everything dissolved', rangeWords(p.liquid.dissolvedMgPerL, '')]],
    },
    ...(p.place
      ? [
          {
            block: 'table' as const,
            caption: `Limits you entered for ${p.place.name} (${p.place.source})${p.place.collectAll ? ': everything is collected there' : ''}`,
            columns: [
              { title: 'what', align: 'left' as const },
              { title: 'limit', align: 'right' as const },
              { title: 'in this liquid', align: 'right' as const },
              { title: '', align: 'left' as const },
            ],
            rows: p.place.lines.map((l) => [
              l.parameter,
              `${limitText(l.low, l.high)} ${l.unit}`.replace(' pH', ''),
              l.found === null ? '–' : l.parameter === 'pH' ? pHWords(l.found) : rangeWords(l.found, l.unit),
              VERDICT_WORDS[l.verdict],
            ]),
          },
        ]
      : published.size > 0
        ? [
            {
              block: 'text' as const,
              text: `Limits that other places have printed, as examples and no permission: ${[...published].map(([name, values]) => `${name} ${rangeWords({ low: Math.min(...values), high: Math.max(...values) }, 'mg/L')}`).join('; ')}. Enter those of your place in the file ("place").`,
            },
          ]
        : []),
  ]
}

/** What a step uses and gives, in one line. */
export function stepNumbers(s: ClearingStep): string {
  return [
    s.massG && s.substance ? `${s.substance}: ${rangeWords(s.massG, 'g')}` : '',
    s.portions && s.portions > 1 ? `in ${s.portions} portions, cooling between them` : '',
    s.temperatureRiseK ? `warms by ${rangeWords(s.temperatureRiseK, 'K')} at most` : '',
    s.gasL ? `gas: ${rangeWords(s.gasL, 'L')}` : '',
    s.pH ? `the pH is then ${pHWords(s.pH)}` : '',
  ]
    .filter((x) => x !== '')
    .join('; ')
}

function stepItem(s: ClearingStep): ListItem {
  const numbers = stepNumbers(s)
  return {
    text: `${s.danger ? 'DANGER. ' : ''}${sentence(s.what)}`,
    under: [
      ...(numbers === '' ? [] : [sentence(numbers)]),
      ...(s.test ? [`Test: ${sentence(s.test, false)}`] : []),
      `Why: ${sentence(s.why, false)}`,
      ...(s.equations.length > 0 ? [s.equations.join('; ')] : []),
    ],
  }
}

/** Where everything goes, with the reasons. */
function streamsList(p: ClearingPlan): Block {
  return {
    block: 'list',
    ordered: false,
    items: p.streams.map((s) => ({
      text: `${sentence(`${s.name}: ${s.goes}`)} ${s.amount}.`,
      under: [...(s.goes === 'solid waste' ? [sentence(s.what)] : []), ...s.reasons.map((r) => sentence(r))],
    })),
  }
}

export const orderedSteps = (p: ClearingPlan): readonly ClearingStep[] => [...p.steps].sort((a, b) => a.order - b.order)

/** Plans that say the same of several vessels are printed once. The first plan of each group stands for it. */
export function samePlans(plans: readonly ClearingPlan[]): readonly { readonly plan: ClearingPlan; readonly vessels: readonly string[] }[] {
  const groups = new Map<string, { plan: ClearingPlan; vessels: string[] }>()
  for (const plan of plans) {
    const says = JSON.stringify([orderedSteps(plan).map((s) => [s.what, stepNumbers(s)]), plan.streams])
    const met = groups.get(says)
    if (met) met.vessels.push(plan.vessel)
    else groups.set(says, { plan, vessels: [plan.vessel] })
  }
  return [...groups.values()]
}

/** "Vessel jar", or "Each of the vessels left, middle, right" */
export function vesselsHeading(vessels: readonly string[]): string {
  return vessels.length === 1 ? `Vessel ${vessels[0]}` : `Each of the vessels ${vessels.join(', ')}`
}

function planBlocks(p: ClearingPlan, vessels: readonly string[], book: SpeciesBook): readonly Block[] {
  const blocks: Block[] = [
    { block: 'heading', level: 2, text: vesselsHeading(vessels) },
    { block: 'text', text: sentence(p.localRule) },
    { block: 'text', text: `All amounts are ranges over: ${[...new Set(p.cases)].join('; ')}.` },
    ...(p.harmless === null ? [] : [{ block: 'text' as const, text: sentence(p.harmless) }]),
    ...leftBlocks(p, book),
    { block: 'heading', level: 3, text: 'Steps' },
    { block: 'list', ordered: true, items: orderedSteps(p).map(stepItem) },
  ]
  if (p.metals.length > 0) {
    blocks.push({
      block: 'table',
      caption: 'Metal left in the liquid, mg/L',
      columns: [
        { title: 'metal', align: 'left' },
        { title: 'before', align: 'right' },
        { title: 'at pH', align: 'right' },
        { title: 'floor by equilibrium', align: 'right' },
        { title: 'expect', align: 'right' },
        { title: 'solid', align: 'left' },
      ],
      rows: p.metals.map((m) => [
        m.metal,
        formatNumber(m.startMgPerL, DIGITS),
        formatNumber(m.atPH, DIGITS),
        formatNumber(m.floorMgPerL, DIGITS),
        rangeWords(m.expectMgPerL, ''),
        m.solid,
      ]),
    })
  }
  blocks.push(
    ...treatmentBlocks(p),
    ...alternativeBlocks(p),
    { block: 'heading', level: 3, text: 'Where it goes' },
    streamsList(p),
    ...liquidBlocks(p),
  )
  return blocks
}

/** Sheet of one plan a vessel; the cautions of the day and of clearing head it. */
export function clearingSheet(title: string, plans: readonly ClearingPlan[], cautions: Cautions, book: SpeciesBook): Paper {
  return typesetPaper(
    {
      kind: 'clearing',
      title: `Clearing: ${title}`,
      blocks: [
        dangerBlock(
          cautions,
          plans.flatMap((p) => p.cautions),
        ),
        ...samePlans(plans).flatMap((g) => planBlocks(g.plan, g.vessels, book)),
      ],
    },
    book,
  )
}
