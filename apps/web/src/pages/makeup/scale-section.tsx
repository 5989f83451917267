/** The recipe at another size: by the liquid in a vessel, by the number of vessels, by the number of performances. */
import type { Problem } from '@beakertide/basis/problems'
import { createEffect, createSignal, For, Show } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { spareFor } from '../../parts/bench-cards.ts'
import { ProblemLines } from '../../parts/problem-lines.tsx'
import { QuantityField } from '../../parts/quantity-field.tsx'
import { t } from '../../words/index.ts'
import { formatNumber, parseNumber } from '../../words/numbers.ts'
import { readTyped } from '../../words/quantities.ts'
import type { ScaledRecipe } from '../../work/shelf-contract.ts'

const USUAL_SPARE = 10
const PER_CENT = 100

export function ScaleSection(props: { readonly desk: Desk }) {
  const [liquid, setLiquid] = createSignal('')
  const [count, setCount] = createSignal('')
  const [performances, setPerformances] = createSignal('1')
  const [spare, setSpare] = createSignal(String(USUAL_SPARE))
  const [scaled, setScaled] = createSignal<ScaledRecipe | null>(null)
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  const numberIn = (text: string): number | null => {
    const read = parseNumber(text)
    return read.ok && read.value >= 0 ? read.value : null
  }
  const fault = (text: string, isWhole: boolean): boolean => {
    const value = numberIn(text)
    return value === null || (isWhole && (!Number.isInteger(value) || value < 1))
  }
  let asked = 0
  createEffect(() => {
    const document = props.desk.document()
    const mine = ++asked
    const volume = liquid() === '' ? null : readTyped(liquid(), ['volume'], 'mL')
    const isWrong = fault(performances(), true) || fault(spare(), false) || (count() !== '' && fault(count(), true)) || volume?.ok === false
    const isUnchanged = liquid() === '' && count() === '' && numberIn(performances()) === 1 && numberIn(spare()) === USUAL_SPARE
    if (isWrong || isUnchanged) {
      setScaled(null)
      setProblems([])
      return
    }
    void props.desk.work
      .scale(document, {
        ...(volume?.ok ? { vesselVolumeL: volume.value.value } : {}),
        ...(count() === '' ? {} : { numberOfVessels: numberIn(count()) ?? 1 }),
        spareShare: spareFor(numberIn(performances()) ?? 1, (numberIn(spare()) ?? 0) / PER_CENT),
      })
      .then((answer) => {
        if (mine !== asked) return
        setScaled(answer.ok ? answer.value : null)
        setProblems(answer.ok ? [] : answer.problems)
      })
  })
  const write = (): void => {
    const now = scaled()
    if (!now) return
    props.desk.edit(now.edits, t('makeup.label.scaled'))
    setLiquid('')
    setCount('')
    setPerformances('1')
    setSpare(String(USUAL_SPARE))
  }
  const NumberIn = (p: {
    readonly label: string
    readonly value: string
    readonly isWhole: boolean
    readonly mayBeEmpty?: boolean
    readonly onValue: (text: string) => void
  }) => (
    <label>
      {p.label}
      <input
        type="text"
        inputmode="decimal"
        size="6"
        value={p.value}
        placeholder={p.mayBeEmpty ? t('makeup.asItIs') : ''}
        aria-invalid={(p.value !== '' || !p.mayBeEmpty) && fault(p.value, p.isWhole) ? 'true' : undefined}
        onInput={(e) => p.onValue(e.currentTarget.value)}
      />
    </label>
  )
  return (
    <details class="makeup-scale">
      <summary>
        <h2>{t('makeup.scale')}</h2>
      </summary>
      <p class="lead">{t('makeup.scaleLead')}</p>
      <div class="scale-fields">
        <QuantityField
          label={t('makeup.liquidInVessel')}
          value={liquid()}
          kinds={['volume']}
          unit="mL"
          mayBeEmpty
          placeholder={t('makeup.asItIs')}
          onValue={(text) => setLiquid(text ?? '')}
        />
        <NumberIn label={t('makeup.numberOfVessels')} value={count()} isWhole mayBeEmpty onValue={setCount} />
        <NumberIn label={t('makeup.performances')} value={performances()} isWhole onValue={setPerformances} />
        <NumberIn label={t('makeup.spare')} value={spare()} isWhole={false} onValue={setSpare} />
      </div>
      <ProblemLines problems={problems()} />
      <Show when={scaled()}>
        {(s) => (
          <>
            <table>
              <thead>
                <tr>
                  <th scope="col">{t('makeup.solution')}</th>
                  <th scope="col" class="number">
                    {t('makeup.before')}
                  </th>
                  <th scope="col" class="number">
                    {t('makeup.after')}
                  </th>
                </tr>
              </thead>
              <tbody>
                <For each={s().solutions}>
                  {(row) => (
                    <tr>
                      <th scope="row">{row.id}</th>
                      <td class="number">{formatNumber(row.beforeL * 1000, 4)} mL</td>
                      <td class="number">{formatNumber(row.afterL * 1000, 4)} mL</td>
                    </tr>
                  )}
                </For>
              </tbody>
            </table>
            <p>{t('makeup.scaleWarn')}</p>
            <button type="button" class="main" disabled={s().edits.length === 0} onClick={write}>
              {t('makeup.scaleWrite')}
            </button>
          </>
        )}
      </Show>
    </details>
  )
}
