/** A text or a choice among texts, with its label and what is wrong with it. */
import { createMemo, createUniqueId, For, Show } from '../framework.ts'

export interface TextFieldProps {
  readonly label: string
  readonly value: string
  readonly onValue: (text: string) => void
  readonly hint?: string
  readonly problems?: readonly string[]
  readonly placeholder?: string
  /** Offered while typing; anything else may be typed too. */
  readonly offers?: readonly { readonly value: string; readonly note?: string }[]
  readonly longest?: number
}

const idsOf = (id: string, hint: string | undefined, problems: readonly string[] | undefined): string | undefined =>
  [hint ? `${id}-hint` : '', problems && problems.length > 0 ? `${id}-fault` : ''].filter((x) => x !== '').join(' ') || undefined

function Under(props: { readonly id: string; readonly hint?: string | undefined; readonly problems?: readonly string[] | undefined }) {
  return (
    <>
      <Show when={props.hint}>
        <span class="field-hint" id={`${props.id}-hint`}>
          {props.hint}
        </span>
      </Show>
      <Show when={(props.problems ?? []).length > 0}>
        <span class="field-fault" id={`${props.id}-fault`} role="alert">
          <For each={props.problems}>{(line) => <span>{line}</span>}</For>
        </span>
      </Show>
    </>
  )
}

export function TextField(props: TextFieldProps) {
  const id = createUniqueId()
  // Only another value takes away what is being typed.
  const value = createMemo(() => props.value)
  return (
    <div class="text-field">
      <label for={id}>{props.label}</label>
      <input
        id={id}
        type="text"
        autocomplete="off"
        value={value()}
        maxlength={props.longest ?? 200}
        placeholder={props.placeholder ?? ''}
        list={props.offers ? `${id}-offers` : undefined}
        aria-invalid={(props.problems ?? []).length > 0 ? 'true' : undefined}
        aria-describedby={idsOf(id, props.hint, props.problems)}
        onChange={(e) => props.onValue(e.currentTarget.value.trim())}
      />
      <Show when={props.offers}>
        {(offers) => (
          <datalist id={`${id}-offers`}>
            <For each={offers()}>{(o) => <option value={o.value}>{o.note ?? ''}</option>}</For>
          </datalist>
        )}
      </Show>
      <Under id={id} hint={props.hint} problems={props.problems} />
    </div>
  )
}

export interface ChoiceFieldProps {
  readonly label: string
  readonly value: string
  /** Neighbours of one `group` stand together under its name. */
  readonly choices: readonly { readonly value: string; readonly words: string; readonly group?: string }[]
  readonly onValue: (value: string) => void
  readonly hint?: string
  readonly problems?: readonly string[]
  readonly hidesLabel?: boolean
}

type Choices = ChoiceFieldProps['choices']

/** In their order: a select counts its options across groups. */
function groupsOf(choices: Choices): readonly { readonly name: string | undefined; readonly choices: Choices }[] {
  const groups: { readonly name: string | undefined; readonly choices: Choices[number][] }[] = []
  for (const choice of choices) {
    const last = groups.at(-1)
    if (last && last.name === choice.group) last.choices.push(choice)
    else groups.push({ name: choice.group, choices: [choice] })
  }
  return groups
}

/** A value that is none of the choices is shown as itself, so that nothing of the document is hidden. */
export function ChoiceField(props: ChoiceFieldProps) {
  const id = createUniqueId()
  const choices = () =>
    props.choices.some((c) => c.value === props.value) ? props.choices : [{ value: props.value, words: props.value }, ...props.choices]
  return (
    <div class="text-field">
      <label for={id} class={props.hidesLabel ? 'unseen' : undefined}>
        {props.label}
      </label>
      <select
        id={id}
        aria-invalid={(props.problems ?? []).length > 0 ? 'true' : undefined}
        aria-describedby={idsOf(id, props.hint, props.problems)}
        onChange={(e) => props.onValue(choices()[e.currentTarget.selectedIndex]?.value ?? '')}
      >
        <For each={groupsOf(choices())}>
          {(group) => {
            const options = <For each={group.choices}>{(c) => <option selected={c.value === props.value}>{c.words}</option>}</For>
            return group.name === undefined ? options : <optgroup label={group.name}>{options}</optgroup>
          }}
        </For>
      </select>
      <Under id={id} hint={props.hint} problems={props.problems} />
    </div>
  )
}
