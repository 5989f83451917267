/** Papers by kind, in the order asked for. Rehearsals and plans are made only when a kind needs them. */
import { done, gather, type Outcome } from '@beakertide/basis/problems'
import type { ClearingPlan } from '@beakertide/core/clearing'
import { checkSheet, clearingSheet, makeUpSheet, type Paper, rehearsalSheet, shoppingSheet, speciesBook } from '@beakertide/core/papers'
import type { Rehearsal } from '@beakertide/core/rehearsal'
import { clearVessel, type Prepared, rehearseVessel } from '@beakertide/demonstration'
import type { House } from './house.ts'

export function papersFor(prepared: Prepared, kinds: readonly string[], house: House): Outcome<readonly Paper[]> {
  const { day } = house.facts
  const { demonstration, cautions, makeUp, poured, mechanism } = prepared
  const { title } = demonstration
  const book = speciesBook(day.matter.species, [...mechanism.species, ...(mechanism.netSpecies ?? [])])
  const rehearsals = kept(
    (): Outcome<readonly Rehearsal[]> => gather(demonstration.vessels.map((v) => rehearseVessel(prepared, v.id, day))),
  )
  const plans = kept((): Outcome<readonly ClearingPlan[]> => {
    const runs = rehearsals()
    return runs.ok ? gather(runs.value.map((r) => clearVessel(prepared, r, day))) : runs
  })
  const makers: Readonly<Record<string, () => Outcome<Paper>>> = {
    check: () => done(checkSheet(title, makeUp, poured, cautions, book)),
    'make-up': () => done(makeUpSheet(title, makeUp, cautions, book)),
    rehearsal: () => {
      const runs = rehearsals()
      return runs.ok ? done(rehearsalSheet(title, runs.value, cautions, book)) : runs
    },
    clearing: () => {
      const all = plans()
      return all.ok ? done(clearingSheet(title, all.value, cautions, book)) : all
    },
    shopping: () => done(shoppingSheet(title, makeUp, cautions, book)),
  }
  return gather(
    kinds.map((kind): Outcome<Paper> => {
      const make = makers[kind]
      if (make) return make()
      return {
        ok: false,
        problems: [
          {
            code: 'work/no-such-paper',
            where: `paper "${kind}"`,
            what: 'no paper of this kind is known',
            todo: `ask for ${Object.keys(makers).join(', ')}`,
          },
        ],
      }
    }),
  )
}

function kept<T>(make: () => T): () => T {
  let made: { readonly value: T } | undefined
  return () => (made ??= { value: make() }).value
}
