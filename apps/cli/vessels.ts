/** Which vessels of a demonstration a command is about. */
import { done, type Outcome, refuse, suggestion } from '@beakertide/basis/problems'
import type { Prepared } from '@beakertide/demonstration'

/** The vessel asked for with `--vessel`; all in the order of the document when none is. Problem: there is no such vessel. */
export function vesselsWanted(prepared: Prepared, wanted: string | undefined): Outcome<readonly string[]> {
  const ids = prepared.demonstration.vessels.map((v) => v.id)
  if (wanted === undefined) return done(ids)
  if (ids.includes(wanted)) return done([wanted])
  return refuse({
    code: 'desk/no-such-vessel',
    where: `--vessel ${wanted}`,
    what: `the demonstration has no vessel "${wanted}"`,
    todo: suggestion(wanted, ids) || 'leave the flag out',
  })
}
