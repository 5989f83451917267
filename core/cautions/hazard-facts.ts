/** The fact tables of hazards, read from text rows into typed records. Every record keeps its source. */
import { invariant } from '@beakertide/basis/problems'
import { type Rows, type Source, type Sourced, seenFrom } from '@beakertide/basis/sources'
import { celsiusToKelvin } from '@beakertide/basis/units'
import type { AirLimit } from './air-limits.ts'
import { type MixtureRules, readMixtureRules } from './ghs-rules.ts'
import { type ProtectionLine, readProtection } from './protection-facts.ts'
import type { Severity } from './severity.ts'
import { parseThreshold, type Threshold } from './threshold.ts'

/** GHS classification of a substance as supplied. */
export interface GhsSubstance {
  readonly id: string
  readonly name: string
  readonly formula: string
  /** Every CAS number of the row: its own and those of its hydrates. */
  readonly cas: readonly string[]
  /** "HARMONISED", "NOTIFIED", "NOT_CLASSIFIED" or both. */
  readonly basis: string
  /** "Skin Corr. 1B", "Acute Tox. 3* oral" … */
  readonly classes: readonly string[]
  readonly hCodes: readonly string[]
  readonly euhCodes: readonly string[]
  readonly signalWord: string
  readonly pictograms: readonly string[]
  readonly notes: string
  /** Specific limits and toxicity estimates as written: "Skin Corr. 1B C>=25%; ATE oral 481 mg/kg". */
  readonly specificLimits: string
  /** M-factors for water life as written: "M(acute)=10; M(chronic)=1". */
  readonly mFactor: string
  readonly source: Source
}

/** A strength band of a solution, by mass fraction: from (inclusive) to (exclusive). */
export interface GhsBand {
  readonly substanceId: string
  readonly from: number
  readonly to: number
  readonly classes: readonly string[]
  readonly hCodes: readonly string[]
  readonly euhCodes: readonly string[]
  readonly signalWord: string
  readonly pictograms: readonly string[]
  readonly note: string
  readonly source: Source
}

/** What goes wrong when two things meet, in words. */
export interface Incompatibility {
  readonly id: string
  readonly consequence: string
  readonly severity: Severity
  readonly instead: string
  readonly numbers: string
  readonly source: Source
}

export interface GroupMember {
  readonly kind: 'species' | 'cas' | 'formula' | 'element'
  readonly member: string
  /** Bases weigh negative in an acid group: the group's strength is what is left over. */
  readonly weight: number
}

/** `crate`: solutions and bottles carried to the hall in one box. */
export type Place = 'making' | 'vessel' | 'shelf' | 'crate' | 'clearing' | 'jug'

export interface RuleSide {
  /** Any of these groups. */
  readonly groups: readonly string[]
  readonly threshold: Threshold
}

/** Our matcher for one row of the incompatibilities (or for one substance on its own). */
export interface PairRule {
  readonly code: string
  readonly places: readonly Place[]
  /** as-met: strengths before mixing; mixed: after mixing; dry: all of them solids. */
  readonly basis: 'as-met' | 'mixed' | 'dry'
  readonly sides: readonly RuleSide[]
  readonly overVolumeL: number
  /** Only at this temperature or above, K; 0: at any. */
  readonly fromK: number
  readonly severity: Severity
  readonly refuses: 'no' | 'liftable' | 'never'
  readonly whyNever: string
  readonly what: string
  readonly instead: string
  readonly numbers: string
  readonly source: Source
}

export interface HazardFacts {
  /** H, EUH and P numbers -> meaning in our own words. */
  readonly codes: Readonly<Record<string, string>>
  readonly substances: readonly GhsSubstance[]
  readonly bands: readonly GhsBand[]
  /** By rule_id of data/hazards/ghs_rules.csv. */
  readonly mixtureRules: MixtureRules
  readonly incompatibilities: Readonly<Record<string, Incompatibility>>
  readonly groups: Readonly<Record<string, readonly GroupMember[]>>
  readonly rules: readonly PairRule[]
  /** By formula of the gas: "I2", "SO2" … */
  readonly airLimits: readonly AirLimit[]
  readonly protection: readonly ProtectionLine[]
  /** 2 H2O2 -> 2 H2O + O2, kJ per mol H2O2, negative. */
  readonly peroxideDecompositionKJPerMol: Sourced
}

/** Hands out a table by its place in data/. */
export type Tables = (table: string) => Rows

const words = (text: string | undefined): readonly string[] => (text ?? '').split(/\s+/).filter((w) => w !== '' && w !== 'none')
/** "Ox. Sol. 2; Eye Dam. 1" -> its classes; "none" has none. */
const classList = (text: string | undefined): readonly string[] =>
  (text ?? '')
    .split(';')
    .map((c) => c.trim())
    .filter((c) => c !== '' && c !== 'none')
const CAS = /\d{2,7}-\d{2}-\d/g

function severityOf(text: string | undefined, where: string): Severity {
  const n = Number(text)
  invariant(n === 1 || n === 2 || n === 3 || n === 4, `severity "${text}" of ${where} is not 1 to 4`)
  return n
}

/** "R-UKY; calc" -> the words of data/hazards/sources.csv behind those keys. */
export function sourceReader(tables: Tables): (keys: string, status: string) => Source {
  const known = new Map(tables('hazards/sources').map((r) => [r['key'] ?? '', r]))
  return (keys, status) => {
    const said = keys
      .split(';')
      .map((k) => k.trim())
      .filter((k) => k !== '')
      .map((k) => {
        // A key may stand behind a word: "H290 M-SDS", "limits READ R-H2O2".
        const key = k.split(/[\s:(),]+/).find((word) => known.has(word))
        const row = key === undefined ? undefined : known.get(key)
        return row ? `${k} [${row['what'] ?? ''}]` : k
      })
    return { source: said.join('; ') || 'hazards facts, no source named', seen: seenFrom(status) }
  }
}

/** Table cells end without a stop; as sentences on a sheet they have one. */
const sentence = (text: string): string => (text === '' || /[.!?]$/.test(text) ? text : `${text}.`)

const PLACES: readonly Place[] = ['making', 'vessel', 'shelf', 'crate', 'clearing', 'jug']
function placeOf(text: string, code: string): Place {
  const place = PLACES.find((p) => p === text)
  invariant(place !== undefined, `pair rule ${code} names the unknown place "${text}"`)
  return place
}

function readRules(
  tables: Tables,
  incompatibilities: Readonly<Record<string, Incompatibility>>,
  groups: HazardFacts['groups'],
): readonly PairRule[] {
  return tables('hazards/pair_rules').map((r) => {
    const code = r['code'] ?? ''
    const refers = incompatibilities[r['refers'] ?? '']
    invariant(refers !== undefined || r['refers'] === '', `pair rule ${code} refers to "${r['refers']}", which is no row`)
    const sides = (['a', 'b', 'c'] as const).flatMap((side): readonly RuleSide[] => {
      const names = (r[side] ?? '').split('|').filter((n) => n !== '')
      for (const n of names) invariant(groups[n] !== undefined, `pair rule ${code} names the unknown group "${n}"`)
      return names.length === 0 ? [] : [{ groups: names, threshold: parseThreshold(r[`${side}_over`] ?? '', `pair rule ${code}`) }]
    })
    const basis = r['basis']
    invariant(basis === 'as-met' || basis === 'mixed' || basis === 'dry', `pair rule ${code} has the basis "${basis}"`)
    const refuses = r['refuses'] === '' ? 'no' : r['refuses']
    invariant(refuses === 'no' || refuses === 'liftable' || refuses === 'never', `pair rule ${code} refuses "${refuses}"`)
    invariant(refuses !== 'never' || r['why_never'] !== '', `pair rule ${code} never lifts and does not say why`)
    const cited = r['status'] === 'as the cited row' ? refers : undefined
    const own: Source = { source: [refers?.source.source, r['note']].filter(Boolean).join('; '), seen: seenFrom(r['status'] ?? '') }
    return {
      code: `cautions/${code}`,
      places: words(r['places']).map((p) => placeOf(p, code)),
      basis,
      sides,
      overVolumeL: r['over_volume_L'] ? Number(r['over_volume_L']) : 0,
      fromK: r['from_degC'] ? celsiusToKelvin(Number(r['from_degC'])) : 0,
      severity: severityOf(r['severity'], `pair rule ${code}`),
      refuses,
      whyNever: r['why_never'] ?? '',
      what: r['what'] || refers?.consequence || '',
      instead: sentence(r['instead'] || refers?.instead || ''),
      numbers: refers?.numbers ?? '',
      source: cited?.source ?? own,
    }
  })
}

/** Limits as single numbers: "8 h / STEL" with "0.1 / 0.4" becomes two records; rows without a ppm number are left out. */
function readAirLimits(tables: Tables, source: (k: string, s: string) => Source): readonly AirLimit[] {
  return tables('hazards/exposure_limits').flatMap((r) => {
    const kinds = (r['kind'] ?? '').split('/').map((k) => k.trim())
    const values = (r['ppm'] ?? '').split('/').map((v) => Number.parseFloat(v))
    return values.flatMap((ppm, i) =>
      Number.isFinite(ppm) && ppm > 0
        ? [
            {
              gas: r['formula'] ?? '',
              list: r['list'] ?? '',
              kind: kinds[Math.min(i, kinds.length - 1)] ?? '',
              ppm,
              edition: r['year_or_edition'] ?? '',
              source: source(r['source_key'] ?? '', r['status'] ?? ''),
            },
          ]
        : [],
    )
  })
}

/** All tables the cautions use. Throws only when a table of ours is malformed. */
export function readHazardFacts(tables: Tables): HazardFacts {
  const source = sourceReader(tables)
  const incompatibilities = Object.fromEntries(
    tables('hazards/incompatibilities').map((r) => [
      r['id'] ?? '',
      {
        id: r['id'] ?? '',
        consequence: r['consequence'] ?? '',
        severity: severityOf(r['severity_1_to_4'], `incompatibility ${r['id']}`),
        instead: sentence(r['what_to_do_instead'] ?? ''),
        numbers: r['numbers'] ?? '',
        source: source(r['source_key'] ?? '', r['status'] ?? ''),
      },
    ]),
  )
  const groups: Record<string, GroupMember[]> = {}
  for (const r of tables('hazards/danger_groups')) {
    const kind = r['member_kind']
    invariant(kind === 'species' || kind === 'cas' || kind === 'formula' || kind === 'element', `danger group member kind "${kind}"`)
    ;(groups[r['group'] ?? ''] ??= []).push({ kind, member: r['member'] ?? '', weight: Number(r['weight']) })
  }
  const decomposition = tables('hazards/cleanup_reactions').find((r) => r['id'] === 'HP-dec')
  invariant(decomposition !== undefined, 'cleanup_reactions has no row HP-dec')
  return {
    codes: Object.fromEntries(tables('hazards/ghs_codes').map((r) => [r['code'] ?? '', r['meaning_own_words'] ?? ''])),
    substances: tables('hazards/ghs_substances').map((r) => ({
      id: r['id'] ?? '',
      name: r['name'] ?? '',
      formula: r['formula'] ?? '',
      cas: [...`${r['cas'] ?? ''} ${r['notes'] ?? ''}`.matchAll(CAS)].map((m) => m[0]),
      basis: r['basis'] ?? '',
      classes: classList(r['classes_and_categories']),
      hCodes: words(r['h_codes_label']),
      euhCodes: words(r['euh_codes']),
      signalWord: r['signal_word'] ?? 'none',
      pictograms: words(r['pictograms_after_precedence']),
      notes: r['notes'] ?? '',
      specificLimits: r['specific_limits_or_ate'] ?? '',
      mFactor: r['m_factor'] ?? '',
      source: source(r['source_key'] ?? '', r['status'] ?? ''),
    })),
    bands: tables('hazards/ghs_solution_bands').map((r) => ({
      substanceId: r['substance_id'] ?? '',
      from: Number(r['from_wt_percent_incl']) / 100,
      to: r['to_wt_percent_excl'] === '' ? Number.POSITIVE_INFINITY : Number(r['to_wt_percent_excl']) / 100,
      classes: classList(r['classes_and_categories']),
      hCodes: words(r['h_codes_label']),
      euhCodes: words(r['euh_codes']),
      signalWord: r['signal_word'] ?? 'none',
      pictograms: words(r['pictograms_after_precedence']),
      note: r['note'] ?? '',
      source: source(r['source_key'] ?? '', r['status'] ?? ''),
    })),
    mixtureRules: readMixtureRules(tables('hazards/ghs_rules'), source),
    incompatibilities,
    groups,
    rules: readRules(tables, incompatibilities, groups),
    airLimits: readAirLimits(tables, source),
    protection: readProtection(tables('hazards/protection_lines'), source, groups),
    peroxideDecompositionKJPerMol: {
      value: Number(decomposition['dH_kJ']),
      unit: 'kJ per mol H2O2',
      valid: '25 degC, infinite dilution',
      ...source(decomposition['source_key'] ?? '', decomposition['status'] ?? ''),
    },
  }
}
