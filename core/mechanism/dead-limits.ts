/**
 * Can it work? Found from stoichiometry: which species can ever form, which reagents are absent, and whether the amounts
 * allow the colour to come (everything that hides it used up) or to go. No list of recipes; only the mechanism's steps and
 * its declared net reactions.
 */
import type { Problem } from '@beakertide/basis/problems'
import { formatNumber, formatQuantity } from '@beakertide/basis/units'
import type { SpeciesId } from '../matter/index.ts'
import type { Mechanism, NetReaction } from './mechanism.ts'
import { type Goal, isBinding, netAmounts, NetProgram } from './net-program.ts'
import { missingRoots, type Reach, reach } from './reach.ts'
import { type Limiting, limitingReagent } from './reasons.ts'
import { amountFor } from './starts-from.ts'

/** What one reagent allows, all others as given. */
export interface Margin {
  readonly species: SpeciesId
  readonly haveMolPerL: number
  /** Least amount with which the effect is possible; null: no amount of this alone makes it possible. */
  readonly atLeastMolPerL: number | null
  /** Largest amount with which it is still possible; infinite when any is; null as above. */
  readonly atMostMolPerL: number | null
  /** have / atLeast and atMost / have, the smaller one: below 1 it fails, 1.2 is a fifth to spare. Infinite: this reagent sets no limit. */
  readonly ratio: number
}

export interface EffectCheck {
  readonly effect: 'shows' | 'fades'
  readonly species: SpeciesId
  readonly netReactions: readonly string[]
  readonly possible: boolean
  /** Most of the visible species that can form, or least that can be left, mol/L; null when what hides it cannot be used up. */
  readonly extremeMolPerL: number | null
  /** Tightest first. */
  readonly margins: readonly Margin[]
}

export interface CanItWork {
  /** No dead limit was found. It does not promise that the show succeeds. */
  readonly works: boolean
  /** Why it cannot work, each with what is there and what is needed. */
  readonly problems: readonly Problem[]
  /** Thin margins, steps that cannot run, acid that is short. */
  readonly cautions: readonly Problem[]
  readonly checks: readonly EffectCheck[]
  /** Which reagent each net reaction runs out of (water and acid passed over), amounts in mol/L. */
  readonly limiting: readonly { readonly netReaction: string; readonly what: string; readonly limiting: Limiting }[]
  /** Steps that can never run with these species. */
  readonly idleSteps: readonly string[]
}

export interface DeadLimitOptions {
  /** Least amount of a coloured species that is seen, mol/L; default 1e-5 (iodine in a beaker; common practice, no source). */
  readonly visibleMolPerL?: number
}

const VISIBLE_MOL_PER_L = 1e-5
/** A catalyst below this is as good as absent, mol/L: traces in salts lie there (our choice). */
const ABSENT_BELOW_MOL_PER_L = 1e-9
/** Strengths in practice are good to a few per cent: less to spare than this is worth a word (our choice). */
const THIN_RATIO = 1.1
/** Supplied by the liquid, or set free and taken up by buffers that a net reaction does not know; acid is judged apart. */
const SUPPLIED: ReadonlySet<SpeciesId> = new Set(['H2O', 'H+', 'OH-'])

const strength = (molPerL: number): string => formatQuantity(molPerL, 'amount-concentration')

class Judge {
  readonly problems: Problem[] = []
  readonly cautions: Problem[] = []
  readonly amounts: ReadonlyMap<SpeciesId, number>
  private readonly mechanism: Mechanism
  private readonly visible: number
  private readonly program: NetProgram
  private readonly withAcid: NetProgram

  constructor(mechanism: Mechanism, mixture: Readonly<Record<SpeciesId, number>>, visible: number) {
    this.mechanism = mechanism
    this.visible = visible
    this.amounts = netAmounts(mechanism, mixture)
    this.program = new NetProgram(mechanism, this.amounts, SUPPLIED)
    this.withAcid = new NetProgram(mechanism, this.amounts, new Set([...SUPPLIED].filter((id) => id !== 'H+')))
  }

  have(id: SpeciesId): number {
    return this.amounts.get(id) ?? 0
  }
  /** "iodate (IO3-)" */
  named(id: SpeciesId): string {
    const name = [...this.mechanism.species, ...(this.mechanism.netSpecies ?? [])].find((s) => s.id === id)?.name ?? id
    return name === id ? id : `${name} (${id})`
  }
  problem(code: string, what: string, todo: string): void {
    this.problems.push({ code: `mechanism/${code}`, where: `mixture against ${this.mechanism.name}`, what, todo })
  }
  caution(code: string, what: string, todo: string): void {
    this.cautions.push({ code: `mechanism/${code}`, where: `mixture against ${this.mechanism.name}`, what, todo })
  }

  /** Reagents that the net reactions use and the liquid does not supply. */
  private reagents(): readonly SpeciesId[] {
    const used = new Set(this.mechanism.netReactions.flatMap((r) => r.reactants.map((t) => t.species)))
    return [...used].filter((id) => !SUPPLIED.has(id))
  }

  private margins(goal: Goal): readonly Margin[] {
    return this.reagents()
      .filter((id) => id !== goal.species)
      .map((species) => {
        const haveMolPerL = this.have(species)
        const atLeastMolPerL = this.program.bound(species, 'smallest', goal)
        const atMostMolPerL = this.program.bound(species, 'largest', goal)
        const over = atLeastMolPerL === null ? 0 : atLeastMolPerL > 1e-12 ? haveMolPerL / atLeastMolPerL : Number.POSITIVE_INFINITY
        const under = atMostMolPerL === null ? 0 : haveMolPerL > 1e-12 ? atMostMolPerL / haveMolPerL : Number.POSITIVE_INFINITY
        return { species, haveMolPerL, atLeastMolPerL, atMostMolPerL, ratio: Math.min(over, under) }
      })
      .sort((a, b) => a.ratio - b.ratio)
  }

  /** Catalysts and partners that a net reaction needs and the mixture has not. */
  private checkNeeds(reaction: NetReaction): boolean {
    const absent = (reaction.needs ?? []).filter((id) => this.have(id) < ABSENT_BELOW_MOL_PER_L)
    for (const id of absent) {
      this.problem(
        'missing',
        `there is no ${this.named(id)} in the mixture; without it this does not run: ${reaction.what}`,
        `add ${this.named(id)}`,
      )
    }
    return absent.length === 0
  }

  check(effect: 'shows' | 'fades', species: SpeciesId): EffectCheck {
    const reactions = this.mechanism.netReactions.filter((r) => r[effect] === species)
    const after = [...new Set(reactions.flatMap((r) => r.after ?? []))]
    const goal: Goal = { species, kind: effect === 'shows' ? 'at-least' : 'at-most', molPerL: this.visible, after }
    const extremeMolPerL = this.program.extreme(species, effect === 'shows' ? 'largest' : 'smallest', after)
    const reached =
      extremeMolPerL !== null && (effect === 'shows' ? extremeMolPerL >= this.visible : extremeMolPerL <= this.visible * (1 + 1e-6))
    const margins = this.margins(goal)
    const needsMet = reactions.map((r) => this.checkNeeds(r)).some((met) => met)
    if (!reached) this.refuseEffect(effect, species, after, extremeMolPerL, margins)
    const partnersMet = effect === 'shows' || !reached || this.checkPartners(species, reactions)
    const possible = reached && needsMet && partnersMet
    if (possible) {
      this.noteThin(effect, species, margins)
      this.noteAcid(effect, species, goal)
    }
    return { effect, species, netReactions: reactions.map((r) => r.id), possible, extremeMolPerL, margins }
  }

  /** A colour that comes and is to go needs what takes it away, even when nothing of it is there at the start. */
  private checkPartners(species: SpeciesId, reactions: readonly NetReaction[]): boolean {
    const absentIn = reactions.map((r) =>
      r.reactants
        .map((t) => t.species)
        .filter((id) => id !== species && !SUPPLIED.has(id) && this.have(id) < ABSENT_BELOW_MOL_PER_L)
        .filter((id) => (this.program.extreme(id, 'largest', []) ?? 0) < this.visible),
    )
    if (absentIn.length === 0 || absentIn.some((absent) => absent.length === 0)) return true
    const reported = new Set(this.problems.map((p) => p.what))
    absentIn.forEach((absent, i) => {
      for (const id of absent) {
        const what = `there is no ${this.named(id)} in the mixture, so nothing takes ${this.named(species)} away: ${reactions[i]!.what}`
        if (!reported.has(what)) this.problem('missing', what, `add ${this.named(id)}`)
      }
    })
    return false
  }

  private refuseEffect(
    effect: 'shows' | 'fades',
    species: SpeciesId,
    after: readonly SpeciesId[],
    extreme: number | null,
    margins: readonly Margin[],
  ): void {
    const cannot = effect === 'shows' ? `${this.named(species)} cannot appear` : `${this.named(species)} cannot fade`
    const hiding = after.filter((id) => this.have(id) >= ABSENT_BELOW_MOL_PER_L)
    const enough = margins.filter((m) => m.atLeastMolPerL !== null && m.haveMolPerL < m.atLeastMolPerL)
    const absent = enough.filter((m) => m.haveMolPerL < ABSENT_BELOW_MOL_PER_L)
    const short = enough.filter((m) => m.haveMolPerL >= ABSENT_BELOW_MOL_PER_L)
    const tooMuch = margins.filter((m) => m.atMostMolPerL !== null && m.haveMolPerL > m.atMostMolPerL * (1 + 1e-9))
    const limit =
      extreme === null
        ? `${hiding.map((id) => this.named(id)).join(', ')} cannot be used up`
        : effect === 'shows'
          ? `at most ${strength(Math.max(0, extreme))} can form, less than the ${strength(this.visible)} that is seen`
          : `${strength(extreme)} is left at least`
    const needed = (m: Margin): string =>
      `${this.named(m.species)} is ${strength(m.haveMolPerL)}, at least ${strength(m.atLeastMolPerL ?? 0)} is needed (ratio ${formatNumber(m.ratio, 2)})`
    const ways = [
      ...short.map(
        (m) =>
          `bring ${m.species} to ${strength(m.atLeastMolPerL ?? 0)} or more (${strength((m.atLeastMolPerL ?? 0) - m.haveMolPerL)} more)`,
      ),
      ...tooMuch.map((m) => `${m.species} to ${strength(m.atMostMolPerL ?? 0)} or less`),
    ]
    if (short.length > 0 || tooMuch.length > 0) {
      const why =
        short.length > 0
          ? short.map(needed).join('; ')
          : tooMuch
              .map((m) => `${this.named(m.species)} is ${strength(m.haveMolPerL)}, at most ${strength(m.atMostMolPerL ?? 0)} is allowed`)
              .join('; ')
      this.problem('dead-limit', `${cannot}: ${limit}; ${why}`, ways.join(', or '))
      return
    }
    if (absent.length > 0) {
      const own = this.mechanism.netReactions.filter((r) => r[effect] === species).flatMap((r) => r.reactants.map((t) => t.species))
      const first = absent.find((m) => own.includes(m.species)) ?? absent[0]!
      this.problem(
        'missing',
        `${cannot}: there is no ${this.named(first.species)} in the mixture`,
        `add ${this.named(first.species)}, at least ${strength(first.atLeastMolPerL ?? 0)} in the mixture`,
      )
      return
    }
    const without = this.mechanism.netReactions
      .filter((r) => r[effect] === species)
      .flatMap((r) => r.reactants.map((t) => t.species))
      .filter((id) => !SUPPLIED.has(id) && id !== species && this.have(id) < ABSENT_BELOW_MOL_PER_L)
    const names = [...new Set(without)].map((id) => this.named(id))
    this.problem(
      'missing',
      `${cannot}: ${limit}${names.length > 0 ? `; absent are ${names.join(', ')}` : ''}`,
      names.length > 0 ? `add ${names.join(' and ')}` : 'no change of one reagent alone helps: compare with a recipe that works',
    )
  }

  private noteThin(effect: 'shows' | 'fades', species: SpeciesId, margins: readonly Margin[]): void {
    const thin = margins.find((m) => m.ratio < THIN_RATIO && m.haveMolPerL >= ABSENT_BELOW_MOL_PER_L)
    if (!thin) return
    const least =
      thin.atLeastMolPerL !== null && thin.atLeastMolPerL > 1e-12 && thin.haveMolPerL / thin.atLeastMolPerL <= thin.ratio * (1 + 1e-9)
    const bound = least
      ? `at least ${strength(thin.atLeastMolPerL ?? 0)} is needed`
      : `at most ${strength(thin.atMostMolPerL ?? 0)} is allowed`
    this.caution(
      'thin-margin',
      `${this.named(thin.species)} is ${strength(thin.haveMolPerL)} and ${bound} for ${this.named(species)} to ${effect === 'shows' ? 'appear' : 'fade'} (ratio ${formatNumber(thin.ratio, 3)})`,
      'an error of a few per cent in a strength can stop it: assay what perishes, or leave a fifth to spare',
    )
  }

  private noteAcid(effect: 'shows' | 'fades', species: SpeciesId, goal: Goal): void {
    const isUsed = this.mechanism.netReactions.some((r) => r[effect] === species && r.reactants.some((t) => t.species === 'H+'))
    if (!isUsed) return
    const need = this.withAcid.bound('H+', 'smallest', goal)
    const have = this.have('H+')
    if (need === null || need <= have * (1 + 1e-9)) return
    this.caution(
      'acid-short',
      `${strength(need)} of hydrogen ion is used before ${this.named(species)} ${effect === 'shows' ? 'appears' : 'has faded'}; the mixture holds ${strength(have)} free besides the acids of the mechanism`,
      'add acid or a buffer, unless another acid in the mixture supplies it',
    )
  }
}

/**
 * Dead limits of a mixture.
 *
 * @param mixture amounts before anything has reacted, mol/L, by mixture species (free concentrations, or totals as entered)
 */
export function deadLimits(mechanism: Mechanism, mixture: Readonly<Record<SpeciesId, number>>, options: DeadLimitOptions = {}): CanItWork {
  const judge = new Judge(mechanism, mixture, options.visibleMolPerL ?? VISIBLE_MOL_PER_L)
  const effects = new Map<string, readonly ['shows' | 'fades', SpeciesId]>()
  for (const r of mechanism.netReactions) {
    if (r.shows !== undefined) effects.set(`shows ${r.shows}`, ['shows', r.shows])
    if (r.fades !== undefined) effects.set(`fades ${r.fades}`, ['fades', r.fades])
  }
  const checks = [...effects.values()].map(([effect, species]) => judge.check(effect, species))

  // Water holds its hydrogen ion also where no acid was poured; a mechanism that holds the pH runs at that pH.
  const present = mechanism.species
    .filter((s) => Math.max(amountFor(s, mixture), s.traceMolPerL ?? 0) > 0 || (s.id === 'H+' && s.role === 'held'))
    .map((s) => s.id)
  const found = reach(mechanism, present)
  judgeReach(judge, mechanism, found, present)
  return {
    works: judge.problems.length === 0,
    problems: judge.problems,
    cautions: judge.cautions,
    checks,
    limiting: mechanism.netReactions.map((r) => ({
      netReaction: r.id,
      what: r.what,
      limiting: limitingReagent(r, Object.fromEntries(judge.amounts), [...SUPPLIED]),
    })),
    idleSteps: found.idleSteps,
  }
}

/** Coloured species that can never form, and steps that wait for something that is not there. */
function judgeReach(judge: Judge, mechanism: Mechanism, found: Reach, present: readonly SpeciesId[]): void {
  // a buffer that the recipe does not use is no fault
  const idle = found.idleSteps.filter((id) => !mechanism.steps.some((s) => s.id === id && isBinding(s)))
  const roots = idle.length > 0 ? missingRoots(mechanism, present).filter((r) => r.frees.some((id) => idle.includes(id))) : []
  const told = judge.problems.map((p) => p.what)
  const untold = roots.filter((r) => !told.some((what) => what.includes(judge.named(r.species))))
  const visible = Object.keys(mechanism.absorbers)
  if (visible.length > 0 && !visible.some((id) => found.reachable.has(id))) {
    if (told.length > 0 && untold.length === 0) return
    const blame = untold.map((r) => judge.named(r.species))
    judge.problem(
      'cannot-form',
      `no step can ever make a coloured species (${visible.join(', ')}) from what is there`,
      blame.length > 0 ? `the steps wait for ${blame.join(', ')}` : 'compare with a recipe that works',
    )
    return
  }
  if (untold.length === 0) return
  const waiting = idle.filter((id) => untold.some((r) => r.frees.includes(id)))
  judge.caution(
    'idle-steps',
    `${waiting.length === 1 ? 'step' : 'steps'} ${waiting.join(', ')} can never run: there is no ${untold.map((r) => judge.named(r.species)).join(', no ')}`,
    `if that is meant, go on; otherwise add ${judge.named(untold[0]!.species)}`,
  )
}
