/** A recipe pasted in its own words, made a table that is confirmed line by line, then computed backwards. */
import type { Problem } from '@beakertide/basis/problems'
import type { DangerLine } from '@beakertide/core/papers'
import type { Prepared } from '@beakertide/demonstration'
import { isGrave } from '../desk/grave.ts'
import { createEffect, createMemo, createSignal, createUniqueId, For, Index, onMount, Show } from '../framework.ts'
import { said, t } from '../words/index.ts'
import { formatNumber } from '../words/numbers.ts'
import { documentQuantity } from '../words/quantities.ts'
import type { Work } from '../work/contract.ts'
import {
  type Ask,
  asksOf,
  documentOf,
  draftOf,
  type DraftLine,
  type DraftSolution,
  type FoundDraft,
  foundEntry,
  isSettled,
} from './found-draft.ts'
import { CautionBlock } from './caution-lines.tsx'
import { ProblemLines } from './problem-lines.tsx'
import { QuantityField } from './quantity-field.tsx'
import { compoundNamed, knownSubstances, SubstanceField } from './substance-field.tsx'
import { ChoiceField, TextField } from './text-field.tsx'
import './found-recipe-form.css'

export interface FoundRecipeFormProps {
  readonly work: Work
  /** The recipe as a document of its own. */
  readonly onMade?: (text: string) => void
  /** The recipe as an entry beside others. */
  readonly onFound?: (name: string, entry: unknown) => void
}

const STRENGTHS = ['mass-fraction', 'mass-concentration', 'volume-fraction', 'amount-concentration', 'molality', 'oxygen-volumes'] as const
const AMOUNTS = ['mass', 'volume', 'amount-concentration', 'mass-concentration', 'mass-fraction'] as const
const PERCENTS = ['% w/w', '% w/v', '% v/v'] as const
const askWords: Readonly<Record<Ask, () => string>> = {
  amount: () => t('found.ask.amount'),
  substance: () => t('found.ask.substance'),
  hydrate: () => t('found.ask.hydrate'),
  strength: () => t('found.ask.strength'),
  percent: () => t('found.ask.percent'),
}
const percentWords: Readonly<Record<(typeof PERCENTS)[number], () => string>> = {
  '% w/w': () => t('found.percent.ww'),
  '% w/v': () => t('found.percent.wv'),
  '% v/v': () => t('found.percent.vv'),
}

export function FoundRecipeForm(props: FoundRecipeFormProps) {
  const id = createUniqueId()
  const all = knownSubstances(props.work)
  const [words, setWords] = createSignal('')
  const [draft, setDraft] = createSignal<FoundDraft | null>(null)
  const [name, setName] = createSignal('')
  const [source, setSource] = createSignal('')
  const [reaction, setReaction] = createSignal('')
  const [temperature, setTemperature] = createSignal('20 degC')
  const [mechanisms, setMechanisms] = createSignal<readonly { readonly name: string; readonly title: string }[]>([])
  onMount(() => {
    if (props.onMade) void props.work.choices().then((c) => setMechanisms(c.mechanisms))
  })
  const [fed, setFed] = createSignal<readonly string[]>([])
  const substances = createMemo(() =>
    (draft()?.lines ?? [])
      .filter((l) => !l.isLeftOut)
      .map((l) => l.substance)
      .join('\n'),
  )
  let askedFor = ''
  createEffect(() => {
    const names = substances()
    askedFor = names
    if (!props.onMade || names === '') setFed([])
    else
      void props.work.fedBy(names.split('\n')).then((found) => {
        if (names === askedFor) setFed(Array.isArray(found) ? found : [])
      })
  })
  /** Those that the recipe can feed come first and say so. */
  const reactions = createMemo(() => {
    const isFed = (m: { readonly name: string }): boolean => fed().includes(m.name)
    return [
      { value: '', words: t('found.reactionChoose') },
      ...mechanisms()
        .filter(isFed)
        .map((m) => ({ value: m.name, words: said(m.title), group: t('found.reactionsFed') })),
      ...mechanisms()
        .filter((m) => !isFed(m))
        .map((m) => ({ value: m.name, words: said(m.title), group: t('found.reactionsOther') })),
    ]
  })
  const read = async (): Promise<void> => void setDraft(draftOf(await props.work.readFound(words())))
  const changeLine = (lineId: string, change: Partial<DraftLine>): void => {
    const now = draft()
    // Whatever is changed must be confirmed again.
    if (now) setDraft({ ...now, lines: now.lines.map((l) => (l.id === lineId ? { ...l, isConfirmed: false, ...change } : l)) })
  }
  const changeSolution = (index: number, change: Partial<DraftSolution>): void => {
    const now = draft()
    if (now) setDraft({ ...now, solutions: now.solutions.map((s, i) => (i === index ? { ...s, ...change } : s)) })
  }
  const settled = () => {
    const now = draft()
    return now !== null && isSettled(now)
  }
  const open = () => (draft()?.lines ?? []).filter((l) => !l.isLeftOut && !l.isConfirmed).length
  const text = createMemo(() => {
    const now = draft()
    if (!now || !settled() || !props.onMade || reaction() === '') return null
    return documentOf(now, {
      title: name() || t('found.title'),
      reaction: reaction(),
      temperature: temperature(),
      note: t('found.note'),
      words: words(),
    })
  })
  return (
    <div class="found-form">
      <form
        onSubmit={(e) => {
          e.preventDefault()
          void read()
        }}
      >
        <label for={`${id}-words`}>{t('found.words')}</label>
        <textarea
          id={`${id}-words`}
          rows="5"
          maxlength="20000"
          placeholder={t('found.example')}
          value={words()}
          onInput={(e) => setWords(e.currentTarget.value)}
        />
        <p class="field-hint">{t('found.wordsHint')}</p>
        <button type="submit" class={draft() ? '' : 'main'} disabled={words().trim() === ''}>
          {t('found.read')}
        </button>
      </form>
      <Show when={draft()}>
        {(d) => (
          <>
            <p class="found-unchecked" role="note">
              {t('found.unchecked')}
            </p>
            <Show when={d().lines.length === 0}>
              <p role="status">{t('found.nothing')}</p>
            </Show>
            <Index each={d().solutions}>
              {(s, index) => (
                <fieldset class="found-solution">
                  <legend>{t('found.solution', { name: s().name })}</legend>
                  <div class="found-fields">
                    <QuantityField
                      label={t('found.volume')}
                      value={s().volume}
                      kinds={['volume']}
                      unit="mL"
                      hint={t(`found.filled.${s().filled}`)}
                      problems={s().volume === '' ? [t('found.volumeMissing')] : []}
                      onValue={(v) => changeSolution(index, { volume: v ?? '' })}
                    />
                    <QuantityField
                      label={t('found.poured')}
                      value={s().poured}
                      kinds={['volume']}
                      unit="mL"
                      mayBeEmpty
                      placeholder={t('found.allOfIt')}
                      onValue={(v) => changeSolution(index, { poured: v ?? '' })}
                    />
                  </div>
                  <For
                    each={d()
                      .lines.filter((l) => l.solution === index)
                      .map((l) => l.id)}
                  >
                    {(lineId) => (
                      <Show when={draft()?.lines.find((l) => l.id === lineId)}>
                        {(line) => <Line line={line()} all={all()} onChange={(change) => changeLine(lineId, change)} />}
                      </Show>
                    )}
                  </For>
                </fieldset>
              )}
            </Index>
            <Show when={d().unread.length > 0}>
              <p>{t('found.unread')}</p>
              <ul class="found-unread">
                <For each={d().unread}>{(line) => <li>{line}</li>}</For>
              </ul>
            </Show>
            <Show when={d().lines.length > 0}>
              <p role="status">
                <strong>{settled() ? t('found.allConfirmed') : t('found.toConfirm', { n: open() })}</strong>
              </p>
              <div class="found-fields">
                <TextField label={t('found.name')} value={name()} placeholder={t('found.title')} onValue={setName} longest={120} />
                <Show when={props.onFound}>
                  <TextField label={t('found.source')} value={source()} placeholder={t('found.sourceExample')} onValue={setSource} />
                </Show>
                <Show when={props.onMade}>
                  <ChoiceField label={t('found.reaction')} value={reaction()} choices={reactions()} onValue={setReaction} />
                  <QuantityField
                    label={t('found.temperature')}
                    value={temperature()}
                    kinds={['temperature']}
                    unit="degC"
                    onValue={(v) => setTemperature(v ?? '20 degC')}
                  />
                </Show>
              </div>
              <Show when={text()}>{(made) => <Backwards work={props.work} text={made()} />}</Show>
              <div class="found-buttons">
                <Show when={props.onMade}>
                  {(made) => (
                    <button type="button" class="main" disabled={text() === null} onClick={() => text() !== null && made()(text()!)}>
                      {t('found.make')}
                    </button>
                  )}
                </Show>
                <Show when={props.onFound}>
                  {(found) => (
                    <button
                      type="button"
                      class="main"
                      disabled={!settled()}
                      onClick={() => found()(name() || t('found.title'), foundEntry(d(), source() || t('found.sourceUnknown')))}
                    >
                      {t('found.add')}
                    </button>
                  )}
                </Show>
              </div>
            </Show>
          </>
        )}
      </Show>
    </div>
  )
}

function Line(props: {
  readonly line: DraftLine
  readonly all: ReturnType<ReturnType<typeof knownSubstances>>
  readonly onChange: (change: Partial<DraftLine>) => void
}) {
  const compound = () => compoundNamed(props.line.substance, props.all)
  const asks = () => asksOf(props.line, compound() !== undefined)
  const isBarePercent = () => asks().includes('percent')
  return (
    <div class="found-line" data-open={asks().length > 0 ? '' : undefined} data-out={props.line.isLeftOut ? '' : undefined}>
      <p class="found-said">
        “{props.line.text}”
        <Show when={asks().length > 0 && !props.line.isLeftOut}>
          <span class="found-asks">
            {' '}
            {asks()
              .map((a) => askWords[a]())
              .join(' ')}
          </span>
        </Show>
      </p>
      <Show when={!props.line.isLeftOut}>
        <div class="found-fields">
          <QuantityField
            label={t('found.amount')}
            value={props.line.amount}
            kinds={AMOUNTS}
            unit="g"
            hint={props.line.notes.map(said).join(', ')}
            onValue={(amount) => props.onChange({ amount: amount ?? '' })}
          />
          <SubstanceField
            substance={props.line.substance}
            hydrate={props.line.hydrate}
            all={props.all}
            problems={compound() === undefined && props.all.length > 0 ? [notKnown(props.line)] : []}
            onChange={(substance, hydrate) => {
              const chosen = compoundNamed(substance, props.all)
              props.onChange({
                substance: chosen?.name ?? substance,
                hydrate,
                hydrates: chosen?.hydrates ?? [],
                isLiquid: chosen?.isLiquid === true || props.line.isLiquid,
              })
            }}
          />
          <Show when={isBarePercent()}>
            <ChoiceField
              label={t('found.percentOf', { number: props.line.strength })}
              value=""
              choices={[{ value: '', words: t('found.percentChoose') }, ...PERCENTS.map((p) => ({ value: p, words: percentWords[p]() }))]}
              onValue={(kind) => kind !== '' && props.onChange({ strength: `${props.line.strength} ${kind}` })}
            />
          </Show>
          <Show when={!isBarePercent() && (props.line.isLiquid || props.line.strength !== '')}>
            <QuantityField
              label={t('found.strength')}
              value={props.line.strength}
              kinds={STRENGTHS}
              unit=""
              mayBeEmpty
              hint={t('found.strengthHint')}
              onValue={(strength) => props.onChange({ strength: documentQuantity(strength ?? '') })}
            />
          </Show>
        </div>
      </Show>
      <p class="found-confirm">
        <label>
          <input
            type="checkbox"
            checked={props.line.isConfirmed}
            disabled={asks().length > 0 || props.line.isLeftOut}
            onChange={(e) => props.onChange({ isConfirmed: e.currentTarget.checked })}
          />{' '}
          {t('found.confirm')}
        </label>
        <button type="button" class="plain" onClick={() => props.onChange({ isLeftOut: !props.line.isLeftOut })}>
          {props.line.isLeftOut ? t('found.takeBack') : t('found.leaveOut')}
        </button>
      </p>
    </div>
  )
}

const notKnown = (line: DraftLine): string =>
  line.suggestions.length > 0 ? t('found.didYouMean', { names: line.suggestions.map(said).join(', ') }) : t('found.notKnown')

/** What the masses and volumes come to in the vessel; or why it may not be made. */
function Backwards(props: { readonly work: Work; readonly text: string }) {
  const [prepared, setPrepared] = createSignal<Prepared | null>(null)
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  const [danger, setDanger] = createSignal<readonly DangerLine[]>([])
  let asked = 0
  createEffect(() => {
    const { text } = props
    const mine = ++asked
    void props.work.open({ text, beside: {} }, t('found.title')).then((view) => {
      if (mine !== asked) return
      setPrepared(view.prepared)
      setDanger(view.danger.filter(isGrave))
      setProblems(view.problems)
    })
  })
  const rows = () => {
    const p = prepared()
    const vessel = p?.demonstration.vessels[0]
    if (!p || !vessel) return []
    const totalL = p.poured[0]?.inventory.volumeL ?? 0
    const sums = new Map<string, number>()
    for (const s of p.makeUp.strengths) {
      const poured = vessel.pours.filter((x) => x.solution === s.solution).reduce((sum, x) => sum + x.volumeL, 0)
      sums.set(s.substanceId, (sums.get(s.substanceId) ?? 0) + (s.trueMolPerL * poured) / totalL)
    }
    const nameOf = (id: string): string => p.makeUp.portions.find((x) => x.substanceId === id)?.substanceName ?? id
    return [...sums].filter(([, c]) => c > 0).map(([substance, c]) => ({ name: nameOf(substance), mmolPerL: 1000 * c }))
  }
  return (
    <section class="found-backwards" aria-label={t('found.backwards')}>
      <h3>{t('found.backwards')}</h3>
      <ProblemLines problems={problems()} />
      <CautionBlock title={t('found.dangers')} lines={danger()} />
      <Show when={rows().length > 0}>
        <table>
          <thead>
            <tr>
              <th scope="col">{t('shelf.substance')}</th>
              <th scope="col" class="number">
                {t('found.inTheMix')}
              </th>
            </tr>
          </thead>
          <tbody>
            <For each={rows()}>
              {(row) => (
                <tr>
                  <th scope="row">{said(row.name)}</th>
                  <td class="number">{formatNumber(row.mmolPerL, 3)} mmol/L</td>
                </tr>
              )}
            </For>
          </tbody>
        </table>
      </Show>
    </section>
  )
}
