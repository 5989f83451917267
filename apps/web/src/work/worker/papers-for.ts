/** Papers by kind, in the order of the day. Rehearsals and plans are made only when a kind needs them. */
import { done, gather, type Outcome, type Problem } from '@beakertide/basis/problems'
import type { ClearingPlan } from '@beakertide/core/clearing'
import { dayPapers, isPaperKind, NEEDS_CLEARING, NEEDS_REHEARSAL, PAPER_KINDS, type Paper, speciesBook } from '@beakertide/core/papers'
import type { Rehearsal } from '@beakertide/core/rehearsal'
import { clearVessel, type Prepared, rehearseVessel, sayingOf } from '@beakertide/demonstration'
import type { PapersGiven } from '../contract.ts'
import type { House } from './house.ts'

const noSuchPaper = (kind: string): Problem => ({
  code: 'work/no-such-paper',
  where: `paper "${kind}"`,
  what: 'no paper of this kind is known',
  todo: `ask for ${PAPER_KINDS.join(', ')}`,
})

export function papersFor(prepared: Prepared, wanted: readonly string[], house: House, given: PapersGiven = {}): Outcome<readonly Paper[]> {
  const unknown = wanted.filter((kind) => !isPaperKind(kind))
  if (unknown.length > 0) return { ok: false, problems: unknown.map(noSuchPaper) }
  const kinds = wanted.filter(isPaperKind)
  const { day } = house.facts
  const { demonstration, cautions, makeUp, poured, mechanism } = prepared
  const book = speciesBook(day.matter.species, [...mechanism.species, ...(mechanism.netSpecies ?? [])])
  const rehearsals: Outcome<readonly Rehearsal[]> = kinds.some((k) => NEEDS_REHEARSAL.includes(k))
    ? gather(demonstration.vessels.map((v) => rehearseVessel(prepared, v.id, day)))
    : done([])
  if (!rehearsals.ok) return rehearsals
  const plans: Outcome<readonly ClearingPlan[]> = kinds.some((k) => NEEDS_CLEARING.includes(k))
    ? gather(rehearsals.value.map((r) => clearVessel(prepared, r, day)))
    : done([])
  if (!plans.ok) return plans
  // A show without its sentences is still a show: what cannot be said is left blank.
  const sayings = kinds.includes('cues')
    ? rehearsals.value.flatMap((r) => {
        const saying = sayingOf(prepared, r, day)
        return saying.ok ? [saying.value] : []
      })
    : []
  const reaction = 'name' in demonstration.reaction ? demonstration.reaction.name : demonstration.reaction.file
  const papers = dayPapers(
    {
      recipe: { ...demonstration, reaction },
      cautions,
      makeUp,
      poured,
      rehearsals: rehearsals.value.map((r) => ({ ...r, band: given.bands?.[r.vessel] ?? r.band })),
      plans: plans.value,
      sayings,
      runs: given.runs ?? [],
      hazards: day.hazards,
    },
    kinds,
    book,
  )
  return done(papers, [...rehearsals.warnings, ...plans.warnings])
}
