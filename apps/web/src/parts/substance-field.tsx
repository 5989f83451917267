/** A substance by any of its names, and its hydrate where it has several. The names come from the table, once for the whole page. */
import { createMemo, createSignal, onMount, Show } from '../framework.ts'
import { said, t } from '../words/index.ts'
import type { Work } from '../work/contract.ts'
import type { SubstanceChoice } from '../work/shelf-contract.ts'
import { ChoiceField, TextField } from './text-field.tsx'

let known: Promise<readonly SubstanceChoice[]> | undefined

/** All compounds of the table; asked for once. */
export function knownSubstances(work: Work): () => readonly SubstanceChoice[] {
  const [all, setAll] = createSignal<readonly SubstanceChoice[]>([])
  onMount(() => {
    known ??= work.substances()
    void known.then((list) => setAll(Array.isArray(list) ? list : []))
  })
  return all
}

const plain = (text: string): string =>
  text
    .toLowerCase()
    .replace(/[₀-₉]/g, (c) => String(c.charCodeAt(0) - 0x2080))
    .trim()

/** The compound a text names, by name, formula or one of its other names. */
export function compoundNamed(text: string, all: readonly SubstanceChoice[]): SubstanceChoice | undefined {
  const wanted = plain(text)
  return all.find((s) => [s.name, s.formula, s.id, ...s.otherNames].some((name) => plain(name) === wanted))
}

export interface SubstanceFieldProps {
  readonly substance: string
  readonly hydrate: string
  readonly all: readonly SubstanceChoice[]
  readonly onChange: (substance: string, hydrate: string) => void
  readonly problems?: readonly string[]
}

export function SubstanceField(props: SubstanceFieldProps) {
  const offers = createMemo(() =>
    props.all.flatMap((s) => [
      { value: said(s.name), note: s.formula },
      ...s.otherNames.map((name) => ({ value: name, note: said(s.name) })),
    ]),
  )
  const compound = () => compoundNamed(props.substance, props.all)
  /** Documents hold the name of the table; people read and type that of their language. */
  const shown = (): string => (compound()?.name === props.substance ? said(props.substance) : props.substance)
  const typed = (text: string): string => props.all.find((s) => plain(said(s.name)) === plain(text))?.name ?? text
  const hydrates = () => compound()?.hydrates ?? []
  return (
    <>
      <TextField
        label={t('shelf.substance')}
        value={shown()}
        offers={offers()}
        placeholder={t('shelf.substanceExample')}
        problems={props.problems ?? []}
        onValue={(words) => {
          const text = typed(words)
          const chosen = compoundNamed(text, props.all)
          props.onChange(text, chosen && !chosen.hydrates.includes(props.hydrate) ? '' : props.hydrate)
        }}
      />
      <Show when={hydrates().length > 0}>
        <ChoiceField
          label={t('shelf.hydrate')}
          value={props.hydrate}
          choices={[{ value: '', words: t('shelf.hydrateChoose') }, ...hydrates().map((h) => ({ value: h, words: said(h) }))]}
          onValue={(hydrate) => props.onChange(props.substance, hydrate)}
          hint={t('shelf.hydrateHint')}
        />
      </Show>
    </>
  )
}
