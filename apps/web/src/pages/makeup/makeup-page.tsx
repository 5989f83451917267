/** Make-up: each solution as a card in the order of work, what was really taken, sizes, and found recipes beside this one. */
import type { WorkStep } from '@beakertide/core/makeup'
import type { WrittenDocument, WrittenSolution } from '@beakertide/demonstration/edit'
import { createMemo, For, Show } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { BenchCard } from '../../parts/bench-card.tsx'
import { benchWork } from '../../parts/bench-cards.ts'
import { ClearTicks, createTicks } from '../../parts/ticks.tsx'
import { tickKey } from '../../store/ticks-record.ts'
import { Remarks } from '../../parts/remarks.tsx'
import { ChoiceField } from '../../parts/text-field.tsx'
import { QuantityField } from '../../parts/quantity-field.tsx'
import { problemsAt, writtenOf } from '../../parts/written.ts'
import { said, t } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'
import { shownQuantity } from '../../words/quantities.ts'
import { CompareSection } from './compare-section.tsx'
import { RecipeSection } from './recipe-section.tsx'
import { ScaleSection } from './scale-section.tsx'
import './makeup-page.css'

/** What is ticked here, apart from the steps of clearing. */
const TICKS = 'makeup/'
const stepKey = (solution: string, step: WorkStep): string => tickKey(`${TICKS}${solution}`, [step.text])

export function MakeUpPage(props: { readonly desk: Desk }) {
  const { desk } = props
  const written = writtenOf(desk)
  const ticks = createTicks(desk)
  const prepared = createMemo(() => desk.day()?.prepared ?? null)
  const work = createMemo(() => {
    const p = prepared()
    return p ? benchWork(p.makeUp) : null
  })
  const remarks = () => (desk.day()?.warnings ?? []).filter((w) => w.code.startsWith('makeup/'))
  const solution = (id: string): WrittenSolution | undefined => written()?.solutions.find((s) => s.id === id)
  const taken = (solutionId: string, bottle: string): string => {
    const found = solution(solutionId)?.ingredients.find((i) => i.bottle === bottle)
    return found?.weighed || found?.measured || ''
  }
  const setTaken = (solutionId: string, bottle: string, kind: 'weighed' | 'measured', text: string | undefined): void => {
    const path = ['solutions', solutionId, 'with', bottle]
    const other = kind === 'weighed' ? 'measured' : 'weighed'
    const isOther = solution(solutionId)?.ingredients.find((i) => i.bottle === bottle)?.[other] !== ''
    desk.edit(
      [...(isOther && text !== undefined ? [{ path: [...path, other], value: undefined }] : []), { path: [...path, kind], value: text }],
      t('makeup.label.taken', { bottle }),
    )
  }
  return (
    <div class="makeup-page">
      <h1>{t('makeup.title')}</h1>
      <Show when={written()}>{(w) => <Tools desk={desk} written={w()} />}</Show>
      <Show
        when={work()}
        fallback={
          <p class="lead" role="status">
            {desk.day() === null || desk.reading() ? t('makeup.reading') : t('makeup.noCards')}
          </p>
        }
      >
        {(w) => (
          <>
            <p class="lead">
              {t('makeup.lead', { n: w().cards.length })} {t('makeup.plusMinus')}
            </p>
            <Remarks remarks={remarks()} />
            <p class="makeup-ticks">
              <ClearTicks ticks={ticks} groups={TICKS} />
            </p>
            <div class="makeup-cards">
              <For each={w().cards.map((c) => c.solution.id)}>
                {(id, i) => (
                  <Show when={w().cards.find((c) => c.solution.id === id)}>
                    {(card) => (
                      <BenchCard
                        desk={desk}
                        card={card()}
                        number={i() + 1}
                        of={w().cards.length}
                        taken={(bottle) => taken(id, bottle)}
                        onTaken={(bottle, kind, text) => setTaken(id, bottle, kind, text)}
                        isDone={(step) => ticks.isDone(stepKey(id, step))}
                        onDone={(step, isDone) => ticks.set(stepKey(id, step), isDone)}
                      />
                    )}
                  </Show>
                )}
              </For>
            </div>
            <Show when={w().shared.length > 0}>
              <section class="makeup-shared" aria-labelledby="makeup-shared">
                <h2 id="makeup-shared">{t('makeup.shared')}</h2>
                <ul>
                  <For each={w().shared}>
                    {(step) => (
                      <li data-danger={step.danger ? '' : undefined}>
                        <Show when={step.danger}>
                          <strong class="step-danger">{said('DANGER.')} </strong>
                        </Show>
                        {shownQuantity(said(step.text))}
                        <Show when={step.waitMinutes}>
                          {(minutes) => <em> {t('makeup.wait', { minutes: formatNumber(minutes(), 2) })}</em>}
                        </Show>
                      </li>
                    )}
                  </For>
                </ul>
              </section>
            </Show>
          </>
        )}
      </Show>
      <Show when={written()}>{(w) => <RecipeSection desk={desk} written={w()} />}</Show>
      <ScaleSection desk={desk} />
      <CompareSection desk={desk} />
    </div>
  )
}

const GLASS = ['class A', 'class B', 'indicative'] as const

function Tools(props: { readonly desk: Desk; readonly written: WrittenDocument }) {
  const problems = () => props.desk.day()?.problems ?? []
  const glassWords = (glass: string): string =>
    glass === 'class A' ? t('makeup.glassA') : glass === 'class B' ? t('makeup.glassB') : t('makeup.glassIndicative')
  return (
    <div class="makeup-tools">
      <QuantityField
        label={t('makeup.balance')}
        value={props.written.tools.balance}
        kinds={['mass']}
        unit="g"
        mayBeEmpty
        placeholder="0.01 g"
        problems={problemsAt(problems(), 'tools, balance')}
        onValue={(text) => props.desk.edit([{ path: ['tools', 'balance'], value: text }], t('makeup.balance'))}
      />
      <ChoiceField
        label={t('makeup.glass')}
        value={props.written.tools.glass === '' ? 'class B' : props.written.tools.glass}
        choices={GLASS.map((g) => ({ value: g, words: glassWords(g) }))}
        problems={problemsAt(problems(), 'tools, glass')}
        onValue={(glass) => props.desk.edit([{ path: ['tools', 'glass'], value: glass }], t('makeup.glass'))}
      />
      <QuantityField
        label={t('makeup.roomTemperature')}
        value={props.written.room.temperature}
        kinds={['temperature']}
        unit="degC"
        mayBeEmpty
        placeholder="20 degC"
        problems={problemsAt(problems(), 'room, temperature')}
        onValue={(text) => props.desk.edit([{ path: ['room', 'temperature'], value: text }], t('makeup.roomTemperature'))}
      />
    </div>
  )
}
