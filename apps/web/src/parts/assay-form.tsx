/** An assay at the bench: the readings, and the strength they give while they are typed. */
import type { QuantityKind } from '@beakertide/basis/units'
import { createEffect, createSignal, For, Show } from '../framework.ts'
import { said, t } from '../words/index.ts'
import { formatNumber, numbersOf } from '../words/numbers.ts'
import type { Work } from '../work/contract.ts'
import type { BottleLook, WrittenBottle } from '../work/shelf-contract.ts'
import { ProblemLines } from './problem-lines.tsx'
import { QuantityField } from './quantity-field.tsx'
import { ChoiceField } from './text-field.tsx'

type By = 'permanganate' | 'iodometric' | 'oxygen volume'

export interface AssayFormProps {
  readonly work: Work
  readonly bottle: WrittenBottle
  readonly ways: readonly By[]
  readonly celsius: number
  readonly onKeep: (assay: Readonly<Record<string, string>> | undefined) => void
}

interface Reading {
  readonly key: string
  readonly words: () => string
  readonly kinds: readonly QuantityKind[]
  readonly unit: string
  readonly mayBeEmpty: boolean
}
const TITRATION: readonly Reading[] = [
  { key: 'take', words: () => t('shelf.assay.take'), kinds: ['volume'], unit: 'mL', mayBeEmpty: false },
  { key: 'dilute to', words: () => t('shelf.assay.diluteTo'), kinds: ['volume'], unit: 'mL', mayBeEmpty: true },
  { key: 'aliquot', words: () => t('shelf.assay.aliquot'), kinds: ['volume'], unit: 'mL', mayBeEmpty: false },
  { key: 'titrant', words: () => t('shelf.assay.titrant'), kinds: ['amount-concentration'], unit: 'mol/L', mayBeEmpty: false },
  { key: 'used', words: () => t('shelf.assay.used'), kinds: ['volume'], unit: 'mL', mayBeEmpty: false },
  { key: 'blank', words: () => t('shelf.assay.blank'), kinds: ['volume'], unit: 'mL', mayBeEmpty: true },
]
const GAS: readonly Reading[] = [
  { key: 'take', words: () => t('shelf.assay.take'), kinds: ['volume'], unit: 'mL', mayBeEmpty: false },
  { key: 'gas', words: () => t('shelf.assay.gas'), kinds: ['volume'], unit: 'mL', mayBeEmpty: false },
  { key: 'temperature', words: () => t('shelf.assay.temperature'), kinds: ['temperature'], unit: 'degC', mayBeEmpty: false },
  { key: 'pressure', words: () => t('shelf.assay.pressure'), kinds: ['pressure'], unit: 'hPa', mayBeEmpty: true },
]
const wayWords: Readonly<Record<By, () => string>> = {
  permanganate: () => t('shelf.assay.permanganate'),
  iodometric: () => t('shelf.assay.iodometric'),
  'oxygen volume': () => t('shelf.assay.oxygen'),
}
const readingsOf = (by: By): readonly Reading[] => (by === 'oxygen volume' ? GAS : TITRATION)
const PER_CENT = 100

export function AssayForm(props: AssayFormProps) {
  const kept = (): Readonly<Record<string, string>> => {
    const assay = props.bottle['assay']
    return typeof assay === 'object' && assay !== null ? (assay as Readonly<Record<string, string>>) : {}
  }
  const [by, setBy] = createSignal<By>((props.ways.find((w) => w === kept()['by']) ?? props.ways[0]) || 'permanganate')
  const [values, setValues] = createSignal<Readonly<Record<string, string>>>(kept())
  const [look, setLook] = createSignal<BottleLook | null>(null)
  const assay = (): Readonly<Record<string, string>> | null => {
    const readings = readingsOf(by())
    if (readings.some((r) => !r.mayBeEmpty && !values()[r.key])) return null
    return { by: by(), ...Object.fromEntries(readings.flatMap((r) => (values()[r.key] ? [[r.key, values()[r.key]!]] : []))) }
  }
  let asked = 0
  createEffect(() => {
    const now = assay()
    const { bottle, celsius } = props
    const mine = ++asked
    if (!now) {
      setLook(null)
      return
    }
    void props.work.lookAtBottles([{ id: 'bottle', written: { ...bottle, assay: now } }], celsius).then((answer) => {
      if (mine === asked && 'bottles' in answer) setLook(answer.bottles[0] ?? null)
    })
  })
  const content = () => look()?.content ?? null
  return (
    <div class="assay-form">
      <p class="quiet">{t('shelf.assay.lead')}</p>
      <div class="shelf-fields">
        <ChoiceField
          label={t('shelf.assay.by')}
          value={by()}
          choices={props.ways.map((w) => ({ value: w, words: wayWords[w]() }))}
          onValue={(w) => setBy(props.ways.find((x) => x === w) ?? by())}
        />
        <For each={readingsOf(by())}>
          {(r) => (
            <QuantityField
              label={r.words()}
              value={values()[r.key] ?? ''}
              kinds={r.kinds}
              unit={r.unit}
              mayBeEmpty={r.mayBeEmpty}
              placeholder={r.mayBeEmpty ? t('shelf.assay.none') : r.unit}
              onValue={(text) => setValues({ ...values(), [r.key]: text ?? '' })}
            />
          )}
        </For>
      </div>
      <div role="status">
        <Show when={assay() === null}>
          <p class="quiet">{t('shelf.assay.missing')}</p>
        </Show>
        <ProblemLines problems={look()?.problems ?? []} />
        <Show when={content()}>
          {(c) => (
            <p class="assay-gives">
              {t('shelf.assay.gives', {
                strength: strengthWords(c()),
                share: formatNumber((PER_CENT * c().massFraction.u) / c().massFraction.value, 2),
              })}
            </p>
          )}
        </Show>
        <For each={(look()?.warnings ?? []).filter((w) => /assay/.test(w.code))}>
          {(w) => (
            <p class="assay-warning">
              {said(w.what)}; {said(w.todo)}.
            </p>
          )}
        </For>
      </div>
      <p class="shelf-buttons">
        <button type="button" class="main" disabled={content() === null} onClick={() => props.onKeep(assay() ?? undefined)}>
          {t('shelf.assay.keep')}
        </button>
        <Show when={Object.keys(kept()).length > 0}>
          <button type="button" onClick={() => props.onKeep(undefined)}>
            {t('shelf.assay.remove')}
          </button>
        </Show>
      </p>
    </div>
  )
}

/** "8.54 ± 0.05 mol/L", or a mass fraction for a solid. */
function strengthWords(c: NonNullable<BottleLook['content']>): string {
  if (c.molPerL) return `${uncertainWords(c.molPerL)} mol/L`
  return `${uncertainWords({ value: PER_CENT * c.massFraction.value, u: PER_CENT * c.massFraction.u })} % w/w`
}

/** "8.54 ± 0.05" in the decimal sign of the place. */
export function uncertainWords({ value, u }: { readonly value: number; readonly u: number }): string {
  if (!(u > 0)) return formatNumber(value, 4)
  const decimals = Math.max(0, 1 - Math.floor(Math.log10(u)))
  const fixed = (x: number): string =>
    new Intl.NumberFormat(numbersOf(), {
      minimumFractionDigits: Math.min(8, decimals),
      maximumFractionDigits: Math.min(8, decimals),
    }).format(x)
  return `${fixed(value)} ± ${fixed(u)}`
}
