/** The plain colours as options of a choice. */
import { For } from '../framework.ts'
import { colourWord, PLAIN_COLOURS } from './colour-words.ts'

export function ColourOptions(props: { readonly chosen: string }) {
  return (
    <For each={PLAIN_COLOURS}>
      {(c) => (
        <option value={c} selected={c === props.chosen}>
          {colourWord(c)}
        </option>
      )}
    </For>
  )
}
