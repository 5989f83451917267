/** The limits of a place, typed once. Empty fields are no limits; what cannot be read is not saved. */
import { LIMIT_PARAMETERS, type LimitParameter, type PlaceLimit, type PlaceLimits } from '@beakertide/core/clearing'
import { createSignal, For, Show } from '../../framework.ts'
import { t, type WordKey } from '../../words/index.ts'
import { formatNumber, parseNumber } from '../../words/numbers.ts'

export const parameterWord = (parameter: string): string => t(`clearing.par.${parameter.replace(' ', '-')}` as WordKey)
const PARAMETERS = Object.keys(LIMIT_PARAMETERS) as readonly LimitParameter[]
/** Only these are limited from below. */
const WITH_LOW: readonly LimitParameter[] = ['pH', 'temperature']

export interface PlaceFormProps {
  readonly place: PlaceLimits | null
  readonly onSave: (place: PlaceLimits) => void
  readonly onCancel: () => void
  readonly onDelete: (() => void) | null
}

export function PlaceForm(props: PlaceFormProps) {
  const [faults, setFaults] = createSignal<ReadonlySet<string>>(new Set())
  let form: HTMLFormElement | undefined
  const limitOf = (parameter: LimitParameter): PlaceLimit | undefined => props.place?.limits.find((l) => l.parameter === parameter)
  const shown = (value: number | null | undefined): string => (value === null || value === undefined ? '' : formatNumber(value, 6))
  const field = (name: string): HTMLInputElement | null => form?.querySelector<HTMLInputElement>(`[name="${name}"]`) ?? null
  const save = (): void => {
    const wrong = new Set<string>()
    const read = (name: string): number | null => {
      const typed = field(name)?.value ?? ''
      const number = parseNumber(typed)
      if (number.ok) return number.value
      if (number.why !== 'empty') wrong.add(name)
      return null
    }
    const limits = PARAMETERS.flatMap((parameter): readonly PlaceLimit[] => {
      const low = WITH_LOW.includes(parameter) ? read(`low ${parameter}`) : null
      const high = read(`high ${parameter}`)
      return low === null && high === null ? [] : [{ parameter, low, high }]
    })
    const name = field('name')?.value.trim() ?? ''
    if (name === '') wrong.add('name')
    setFaults(wrong)
    if (wrong.size > 0) {
      field([...wrong][0]!)?.focus()
      return
    }
    props.onSave({ name, source: field('source')?.value.trim() ?? '', collectAll: field('collectAll')?.checked ?? false, limits })
  }
  const limitField = (parameter: LimitParameter, side: 'low' | 'high') => {
    const name = `${side} ${parameter}`
    return (
      <input
        type="text"
        inputmode="decimal"
        name={name}
        value={shown(limitOf(parameter)?.[side])}
        aria-label={`${parameterWord(parameter)}, ${side === 'low' ? t('clearing.placeLow') : t('clearing.placeHigh')}`}
        aria-invalid={faults().has(name) ? 'true' : undefined}
      />
    )
  }
  return (
    <form
      ref={(e) => (form = e)}
      class="place-form"
      onSubmit={(e) => {
        e.preventDefault()
        save()
      }}
    >
      <label>
        {t('clearing.placeName')}
        <input
          type="text"
          name="name"
          value={props.place?.name ?? ''}
          maxlength="80"
          aria-invalid={faults().has('name') ? 'true' : undefined}
        />
      </label>
      <label>
        {t('clearing.placeSource')}
        <input type="text" name="source" value={props.place?.source ?? ''} maxlength="200" />
      </label>
      <label class="way">
        <input type="checkbox" name="collectAll" checked={props.place?.collectAll ?? false} />
        {t('clearing.placeCollectAll')}
      </label>
      <p class="quiet">{t('clearing.placeHint')}</p>
      <table>
        <thead>
          <tr>
            <th scope="col">{t('clearing.placeParameter')}</th>
            <th scope="col">{t('clearing.placeLow')}</th>
            <th scope="col">{t('clearing.placeHigh')}</th>
          </tr>
        </thead>
        <tbody>
          <For each={PARAMETERS}>
            {(parameter) => (
              <tr>
                <th scope="row">{parameterWord(parameter)}</th>
                <td>{WITH_LOW.includes(parameter) ? limitField(parameter, 'low') : ''}</td>
                <td>{limitField(parameter, 'high')}</td>
              </tr>
            )}
          </For>
        </tbody>
      </table>
      <Show when={faults().size > 0}>
        <p role="alert" class="fault">
          {t('clearing.notANumber')}
        </p>
      </Show>
      <p class="place-do">
        <button type="submit" class="main">
          {t('clearing.placeSave')}
        </button>
        <button type="button" onClick={() => props.onCancel()}>
          {t('clearing.placeCancel')}
        </button>
        <Show when={props.onDelete}>
          {(remove) => (
            <button type="button" class="danger" onClick={() => remove()()}>
              {t('clearing.placeDelete')}
            </button>
          )}
        </Show>
      </p>
    </form>
  )
}
