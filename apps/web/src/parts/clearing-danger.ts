/** The dangers of a clearing plan as lines, as its printed sheet has them; texts come typeset from the worker. */
import type { ClearingPlan } from '@beakertide/core/clearing'
import { type DangerLine, dangerLines } from '@beakertide/core/papers'
import type { Desk } from '../desk/desk.ts'
import { createEffect, createSignal, onCleanup } from '../framework.ts'
import type { Answer, DocumentText } from '../work/contract.ts'
import { createLatestWins } from './latest-wins.ts'

export const clearingDanger = (plan: ClearingPlan): readonly DangerLine[] => dangerLines(plan.cautions)

export type ClearingDangers =
  | { readonly how: 'working' }
  /** No plan could be made: its dangers are not known. */
  | { readonly how: 'unknown' }
  | { readonly how: 'known'; readonly lines: readonly DangerLine[] }

/** Dangers of clearing this vessel at any time, for pages that show no plan; told to the desk. To be called inside a component. */
export function createClearingDangers(desk: Desk, vessel: () => string | null): () => ClearingDangers {
  const [dangers, setDangers] = createSignal<ClearingDangers>({ how: 'working' })
  const asking = createLatestWins<{ readonly document: DocumentText; readonly vessel: string }, Answer<ClearingPlan>>(
    (wish) =>
      desk.work.clear(wish.document, {
        vessel: wish.vessel,
        anyTime: true,
        stopAtS: null,
        reductant: null,
        hottestCelsius: null,
        place: null,
      }),
    (answer, wish) => {
      const isWanted = wish.document === desk.document() && wish.vessel === vessel()
      if (answer.ok) {
        const lines = clearingDanger(answer.value)
        desk.knowClearing(wish.document, wish.vessel, lines)
        if (isWanted) setDangers({ how: 'known', lines })
      } else if (isWanted) setDangers({ how: 'unknown' })
    },
    () => setDangers({ how: 'unknown' }),
  )
  onCleanup(() => asking.drop())
  createEffect(() => {
    const at = vessel()
    const document = desk.document()
    setDangers({ how: 'working' })
    if (at === null) asking.drop()
    else asking.ask({ document, vessel: at })
  })
  return dangers
}
