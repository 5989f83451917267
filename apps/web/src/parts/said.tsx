/** A sentence that the program computed, in the language of the page; marked as English where it stays English. */
import { Show } from '../framework.ts'
import { langOf, said } from '../words/index.ts'

export function Said(props: { readonly text: string }) {
  return (
    <Show when={langOf(props.text)} fallback={<>{said(props.text)}</>}>
      <span lang="en">{said(props.text)}</span>
    </Show>
  )
}
