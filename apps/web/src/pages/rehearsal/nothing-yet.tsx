/** Why there is nothing to rehearse, in a line: the problems and refusals themselves head every page. */
import type { Desk } from '../../desk/desk.ts'
import { t } from '../../words/index.ts'

export function NothingYet(props: { readonly desk: Desk; readonly title: string }) {
  const words = (): string => {
    const day = props.desk.day()
    if (day === null || props.desk.reading()) return t('rehearsal.reading')
    return day.problems.some((p) => p.danger) ? t('rehearsal.refused') : t('rehearsal.cannot')
  }
  return (
    <>
      <h1>{props.title}</h1>
      <p class="quiet">{words()}</p>
    </>
  )
}
