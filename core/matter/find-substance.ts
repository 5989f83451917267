import { done, nearest, type Outcome, type Problem, refuse } from '@beakertide/basis/problems'
import { anhydrousElements, hillText } from './composition-key.ts'
import { hydrateWord, splitHydrateName, watersIn } from './hydrates.ts'
import type { MatterFacts } from './matter-facts.ts'
import { parseFormula } from './parse-formula.ts'
import { asHydrate } from './read-substances.ts'
import type { Substance } from './substance.ts'

type SubstanceFacts = Pick<MatterFacts, 'substances' | 'weights'>

/** Longest text looked up; no name is longer. */
const LONGEST_NAME = 120

/**
 * The substance a label or a recipe means. `text`: id, name, trade name or formula; `hydrate`: what the label says about water
 * ("monohydrate", "·4H2O", "anhydrous"), if it says so apart from the name. Where a compound exists with different water and neither
 * decides, the answer is a problem that asks, because the weighing depends on it. A hydrate the table lacks is made from its family,
 * with a warning. Unknown names get the nearest known ones.
 */
export function findSubstance(text: string, hydrate: string | undefined, facts: SubstanceFacts): Outcome<Substance> {
  const met = text.trim().slice(0, LONGEST_NAME)
  const problem = (code: string, what: string, todo: string): Problem => ({
    code: `matter/${code}`,
    where: `substance "${met}"`,
    what,
    todo,
  })
  if (met === '') return refuse(problem('substance-empty', 'no substance is named', 'give its name or formula, as on the label'))

  const wanted = hydrate === undefined ? null : watersIn(hydrate)
  if (hydrate !== undefined && wanted === null) {
    return refuse(
      problem(
        'hydrate-not-readable',
        `"${hydrate.slice(0, 60)}" says nothing about water`,
        'write "anhydrous", "monohydrate", "pentahydrate" … or "·4H2O"',
      ),
    )
  }
  const found = lookUp(met, facts)
  if (!found) return refuse(unknown(met, facts, problem))

  const { members, decided } = found
  const sorted = [...members].sort((a, b) => a.waters - b.waters)
  if (decided !== null && wanted !== null && decided !== wanted) {
    return refuse(
      problem(
        'hydrate-contradicts',
        `the name says ${hydrateWord(decided)} and the hydrate says ${hydrateWord(wanted)}`,
        'look at the label and correct one of them; the molar mass depends on it',
      ),
    )
  }
  const waters = wanted ?? decided
  if (waters !== null) {
    const exact = sorted.find((s) => s.waters === waters)
    if (exact) return done(exact)
    const made = asHydrate(sorted[0]!, waters, facts.weights)
    if (made) {
      return done(made, [
        problem(
          'hydrate-not-in-table',
          `the table has ${sorted.map((s) => s.formula).join(', ')}; ${made.formula} (${made.molarMassGPerMol.toFixed(2)} g/mol) is computed`,
          'compare with the formula and molar mass on the label',
        ),
      ])
    }
  }
  const only = sorted[0]!
  if (waters === null && sorted.length === 1) {
    if (only.waters === 0 || !found.byFormula) {
      if (only.waters === 0) return done(only)
      const taken = `taken as the ${hydrateWord(only.waters)} ${only.formula}, the usual form`
      return done(only, [
        problem('hydrate-assumed', taken, `say "hydrate: ${hydrateWord(only.waters)}" when the label says so, or what it says`),
      ])
    }
  }
  const choices = sorted.map((s) => `"${hydrateWord(s.waters)}" (${s.formula}, ${s.molarMassGPerMol.toFixed(2)} g/mol)`).join(' or ')
  return refuse(
    problem(
      'hydrate-missing',
      `it is sold with different water, and the weighing depends on which: ${choices}`,
      `look at the label and add the hydrate, as in "hydrate: ${hydrateWord(sorted.at(-1)!.waters)}"`,
    ),
  )
}

/**
 * The compound that a text names, whatever water it holds: its driest form; null where nothing of that name is known. For what all its
 * hydrates share, such as their dangers, never for a weighing.
 */
export function compoundNamed(text: string, facts: SubstanceFacts): Substance | null {
  const members = lookUp(text.trim().slice(0, LONGEST_NAME), facts)?.members ?? []
  return [...members].sort((a, b) => a.waters - b.waters)[0] ?? null
}

interface Found {
  readonly members: readonly Substance[]
  /** Waters that the text itself states; null when it does not. */
  readonly decided: number | null
  readonly byFormula: boolean
}

/** Names looked up before, by table: the table never changes, and a slider asks for the same few names many times a second. */
const lookedUp = new WeakMap<readonly Substance[], Map<string, Found | null>>()
const MOST_KEPT = 512

function lookUp(text: string, facts: SubstanceFacts): Found | null {
  const known = lookedUp.get(facts.substances) ?? new Map<string, Found | null>()
  lookedUp.set(facts.substances, known)
  const before = known.get(text)
  if (before !== undefined) return before
  const found = lookUpAfresh(text, facts)
  if (known.size >= MOST_KEPT) known.clear()
  known.set(text, found)
  return found
}

function lookUpAfresh(text: string, facts: SubstanceFacts): Found | null {
  const plain = loosely(text)
  const byId = facts.substances.find((s) => s.id === text.toLowerCase())
  if (byId) return { members: family(byId, facts), decided: byId.waters, byFormula: false }

  const { compound, waters } = splitHydrateName(text)
  const bare = loosely(compound)
  for (const s of facts.substances) {
    const own = splitHydrateName(s.name)
    const isWhole = loosely(s.name) === plain || s.otherNames.some((n) => loosely(n) === plain)
    const isCompound = [own.compound, ...s.otherNames].some((n) => loosely(n) === bare) || s.family === text.toLowerCase()
    if (!isWhole && !isCompound) continue
    const members = family(s, facts)
    return { members, decided: waters ?? decidedByName(text, s, members), byFormula: false }
  }
  return byFormula(text, facts)
}

/** A trade name of one hydrate decides ("washing soda", "borax"); the bare name of a compound with several does not. */
function decidedByName(text: string, s: Substance, members: readonly Substance[]): number | null {
  if (members.length === 1) return s.waters === 0 || isTradeName(text, s) ? s.waters : null
  return isTradeName(text, s) ? s.waters : null
}

/** Neither formula nor systematic name: it shares no word with the compound's name. */
function isTradeName(text: string, s: Substance): boolean {
  const words = new Set(
    splitHydrateName(s.name)
      .compound.toLowerCase()
      .replace(/\(.*?\)/g, ' ')
      .split(/[^a-z]+/),
  )
  return (
    s.waters > 0 &&
    text
      .toLowerCase()
      .split(/[^a-z]+/)
      .every((w) => w === '' || !words.has(w))
  )
}

function byFormula(text: string, facts: SubstanceFacts): Found | null {
  const parsed = parseFormula(text)
  if (!parsed.ok || parsed.value.charge !== 0) return null
  const key = hillText(anhydrousElements(parsed.value))
  const members = facts.substances.filter((s) => {
    const own = parseFormula(s.formula)
    return own.ok && hillText(anhydrousElements(own.value)) === key
  })
  if (members.length === 0) return null
  // "MnSO4" on paper is not always "MnSO4" in the bottle: only a formula with its water decides.
  const decided = parsed.value.waters > 0 ? parsed.value.waters : members.every((s) => s.waters === 0) ? 0 : null
  return { members, decided, byFormula: true }
}

function family(s: Substance, facts: SubstanceFacts): readonly Substance[] {
  return facts.substances.filter((other) => other.family === s.family)
}

/**
 * Names that are not in the table and must not be answered with a near one: what they speak of, and why (memory, general
 * chemistry). Nothing is planned with them; the list only keeps a helpful guess from hurting somebody.
 */
const ALARMING: readonly (readonly [RegExp, string])[] = [
  [/azide?s?\b|\bNaN3\b|N3\)/i, 'an azide: with acid it frees a poison that explodes, and metal azides explode'],
  [/(^|\s|-)cyanides?\b|^(Na|K)CN$/i, 'a cyanide: with acid it frees hydrogen cyanide, which kills within minutes'],
  [
    /sul(f|ph)ides?\b|^Na2S$|^\(NH4\)2S$/i,
    'a sulfide: with acid it frees hydrogen sulfide, which kills and dulls the nose that should warn',
  ],
  [/phosphides?\b/i, 'a phosphide: with water or acid it frees phosphine, which kills'],
  [/fulminat|picr(ic|ate)|nitroglycer|acetylides?\b|triiodide of nitrogen|nitrogen tri/i, 'an explosive'],
  [/(ammonium|potassium|sodium|silver|copper|lead) perchlorate/i, 'a perchlorate: with anything that burns it explodes'],
  [/hydro(fluoric|gen fluoride)|bifluoride/i, 'hydrogen fluoride: it goes through the skin and kills without much pain'],
  [/arsen(ic|ate|ite|ous)|arsine|thallium|beryllium|osmium|cadmium/i, 'a poison that no demonstration here needs'],
]

/** Letters and digits only, British and American spellings alike. */
function loosely(name: string): string {
  return name
    .toLowerCase()
    .replace(/\(anhydrous\)/g, '')
    .replace(/ph(?=ate|ite|ur|ide)/g, 'f')
    .replace(/[^a-z0-9()]/g, '')
    .replace(/\((?![ivx]+\))([^()]*)\)/g, '$1')
}

function unknown(met: string, facts: SubstanceFacts, problem: (code: string, what: string, todo: string) => Problem): Problem {
  const names = facts.substances.flatMap((s) => [s.name, ...s.otherNames])
  const sameLetters = facts.substances
    .map((s) => s.formula)
    .filter((f) => [f, f.split('·')[0]!].some((t) => t.toLowerCase() === met.toLowerCase()))
  const near = [...new Set([...sameLetters, ...nearest(met, names)])]
  const looksLikeFormula = /^[A-Z][A-Za-z0-9()[\]·.*]*$/.test(met) && !/[a-z]{3}/.test(met)
  const parsed = parseFormula(met)
  const alarm = ALARMING.find(([shape]) => shape.test(met))
  const what = `no substance of this name or formula is in the table${alarm ? `; the name speaks of ${alarm[1]}` : ''}`
  if (alarm) return { ...problem('substance-unknown', what, 'leave it out: nothing here knows how to make it safe'), danger: true }
  if (near.length === 0 && looksLikeFormula && !parsed.ok)
    return problem('substance-unknown', `${what}: ${parsed.problems[0]!.what}`, parsed.problems[0]!.todo)
  const todo =
    near.length > 0
      ? `did you mean ${near.map((n) => `"${n}"`).join(' or ')}? Only if the label says so: a letter can part a salt from a poison`
      : 'check the spelling, or add the substance as docs/how-to-add.md says'
  return problem('substance-unknown', what, todo)
}
