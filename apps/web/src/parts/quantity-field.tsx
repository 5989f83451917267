/** A quantity to type: decimal comma or point, with or without the unit that stands beside it; what is wrong stands under it. */
import type { QuantityKind } from '@beakertide/basis/units'
import { createEffect, createMemo, createSignal, createUniqueId, For, Show } from '../framework.ts'
import { said as told, t } from '../words/index.ts'
import { readTyped, shownQuantity } from '../words/quantities.ts'
import './quantity-field.css'

export interface QuantityFieldProps {
  readonly label: string
  /** As the document has it; '' for nothing. */
  readonly value: string
  readonly kinds: readonly QuantityKind[]
  /** Taken for a bare number. */
  readonly unit: string
  /** The new text in the form of documents; undefined: nothing any more (only when `mayBeEmpty`). */
  readonly onValue: (text: string | undefined) => void
  readonly mayBeEmpty?: boolean
  /** What holds when it is empty. */
  readonly placeholder?: string
  readonly hint?: string
  /** What the document's readers say of it. */
  readonly problems?: readonly string[]
  /** The label is read to those who cannot see the heading of its column. */
  readonly hidesLabel?: boolean
  readonly large?: boolean
}

export function QuantityField(props: QuantityFieldProps) {
  const id = createUniqueId()
  const [typed, setTyped] = createSignal('')
  const [fault, setFault] = createSignal<string | null>(null)
  // Only another value takes away what is being typed: the record around it is read anew while somebody types on.
  const value = createMemo(() => props.value)
  createEffect(() => {
    setTyped(shownQuantity(value()))
    setFault(null)
  })
  const take = (): void => {
    const text = typed().trim()
    if (text === shownQuantity(props.value)) {
      setFault(null)
      return
    }
    if (text === '') {
      if (props.mayBeEmpty) {
        setFault(null)
        props.onValue(undefined)
      } else setFault(t('document.needsValue'))
      return
    }
    const read = readTyped(text, props.kinds, props.unit)
    if (!read.ok) {
      const [problem] = read.problems
      setFault(problem ? `${told(problem.what)}; ${told(problem.todo)}` : null)
      return
    }
    setFault(null)
    props.onValue(read.value.text)
  }
  const said = (): readonly string[] => {
    const own = fault()
    return own === null ? (props.problems ?? []) : [own]
  }
  const describedBy = (): string | undefined =>
    [props.hint ? `${id}-hint` : '', said().length > 0 ? `${id}-fault` : ''].filter((x) => x !== '').join(' ') || undefined
  return (
    <div class="quantity-field" data-large={props.large ? '' : undefined}>
      <label for={id} class={props.hidesLabel ? 'unseen' : undefined}>
        {props.label}
      </label>
      <input
        id={id}
        type="text"
        autocomplete="off"
        spellcheck={false}
        value={typed()}
        placeholder={props.placeholder ? shownQuantity(props.placeholder) : ''}
        aria-invalid={said().length > 0 ? 'true' : undefined}
        aria-describedby={describedBy()}
        onInput={(e) => setTyped(e.currentTarget.value)}
        onChange={take}
        onKeyDown={(e) => {
          if (e.key === 'Enter') take()
          if (e.key === 'Escape') {
            setTyped(shownQuantity(props.value))
            setFault(null)
          }
        }}
      />
      <Show when={props.hint}>
        <span class="field-hint" id={`${id}-hint`}>
          {props.hint}
        </span>
      </Show>
      <Show when={said().length > 0}>
        <span class="field-fault" id={`${id}-fault`} role="alert">
          <For each={said()}>{(line) => <span>{line}</span>}</For>
        </span>
      </Show>
    </div>
  )
}
