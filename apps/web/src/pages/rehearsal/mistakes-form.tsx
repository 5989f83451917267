/** It did not go as it should: what was seen, and which single mistake explains it, with the test that tells the first two apart. */
import type { Problem } from '@beakertide/basis/problems'
import type { MistakesFound, Observation } from '@beakertide/core/rehearsal'
import { createSignal, For, onCleanup, Show } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { ColourOptions } from '../../parts/colour-options.tsx'
import { colourWord } from '../../parts/colour-words.ts'
import { ProblemList } from '../../parts/problem-list.tsx'
import { Progress } from '../../parts/progress.tsx'
import { aboutTime } from '../../parts/times.ts'
import { said, t } from '../../words/index.ts'
import { formatNumber, parseNumber } from '../../words/numbers.ts'

/** Explanations listed. */
const LISTED = 5

const FIELDS = [
  ['firstTurnS', 'rehearsal.sawFirst', 's'],
  ['periodS', 'rehearsal.sawPeriod', 's'],
  ['cycles', 'rehearsal.sawCycles', ''],
  ['lengthS', 'rehearsal.sawLength', 's'],
  ['nothingUntilS', 'rehearsal.sawNothing', 's'],
] as const
type NumberField = (typeof FIELDS)[number][0]

export function MistakesForm(props: { readonly desk: Desk }) {
  const [typed, setTyped] = createSignal<Readonly<Partial<Record<NumberField, string>>>>({})
  const [colour, setColour] = createSignal('')
  const [progress, setProgress] = createSignal<readonly [number, number] | null>(null)
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  const [found, setFound] = createSignal<MistakesFound | null>(null)
  let isThere = true
  onCleanup(() => {
    isThere = false
    if (progress() !== null) void props.desk.work.cancel('mistakes')
  })
  const ask = async (e: Event): Promise<void> => {
    e.preventDefault()
    const vessel = props.desk.vessel()
    if (vessel === null) return
    const seen: { -readonly [K in keyof Observation]: Observation[K] } = {}
    const wrong: Problem[] = []
    for (const [field, key] of FIELDS) {
      const text = typed()[field] ?? ''
      if (text.trim() === '') continue
      const read = parseNumber(text)
      if (read.ok) seen[field] = read.value
      else wrong.push({ code: 'page/typed', where: t(key), what: t('rehearsal.notANumber'), todo: t('rehearsal.typeNumber') })
    }
    if (colour() !== '') seen.endColour = colour()
    setProblems(wrong)
    setFound(null)
    if (wrong.length > 0) return
    setProgress([0, 0])
    const answer = await props.desk.work.mistakes(props.desk.document(), vessel, [seen], (done, of) => setProgress([done, of]))
    if (!isThere) return
    setProgress(null)
    if (answer.ok) setFound(answer.value)
    else setProblems(answer.problems.filter((p) => p.code !== 'work/cancelled'))
  }
  return (
    <section aria-labelledby="mistakes-head" class="mistakes">
      <h2 id="mistakes-head">{t('rehearsal.mistakes')}</h2>
      <p>{t('rehearsal.mistakesHint')}</p>
      <form class="mistakes-form" onSubmit={(e) => void ask(e)}>
        <For each={FIELDS}>
          {([field, key, unit]) => (
            <label>
              <span>{t(key)}</span>
              <span>
                <input
                  type="text"
                  inputmode="decimal"
                  size="6"
                  value={typed()[field] ?? ''}
                  onInput={(e) => setTyped({ ...typed(), [field]: e.currentTarget.value })}
                />{' '}
                {unit}
              </span>
            </label>
          )}
        </For>
        <label>
          <span>{t('rehearsal.sawColour')}</span>
          <select onChange={(e) => setColour(e.currentTarget.value)}>
            <option value="">{t('rehearsal.notNoted')}</option>
            <ColourOptions chosen={colour()} />
          </select>
        </label>
        <button type="submit" class="main" disabled={progress() !== null}>
          {t('rehearsal.explain')}
        </button>
      </form>
      <Show when={progress()}>
        {(p) => (
          <Progress
            what={t('rehearsal.mistakesWorking')}
            done={p()[0]}
            of={p()[1]}
            onCancel={() => void props.desk.work.cancel('mistakes')}
          />
        )}
      </Show>
      <ProblemList problems={problems()} title={t('problems.title')} />
      <Show when={found()}>{(f) => <Ranking found={f()} />}</Show>
    </section>
  )
}

function Ranking(props: { readonly found: MistakesFound }) {
  return (
    <div class="ranking" role="status">
      <Show when={props.found.none}>
        <p>
          <strong>{t('rehearsal.noneExplains')}</strong>
        </p>
      </Show>
      <ol>
        <For each={props.found.explanations.slice(0, LISTED)}>
          {(e) => (
            <li>
              <span class="explanation">{e.mistakes.map((m) => said(m.words)).join(` ${t('rehearsal.or')} `)}</span>{' '}
              <span class="quiet">
                {t('rehearsal.distance', { distance: formatNumber(e.distance, 2) })} {t('rehearsal.wouldShow')}{' '}
                {[
                  e.predicted.firstTurnS === null
                    ? t('rehearsal.rowNothing')
                    : t('rehearsal.rowFirst', { time: aboutTime(e.predicted.firstTurnS) }),
                  ...(e.predicted.cycles > 0 && e.predicted.periodS !== null
                    ? [
                        t('rehearsal.rowOf', {
                          cycles: t('rehearsal.rowCycles', { n: e.predicted.cycles }),
                          time: aboutTime(e.predicted.periodS),
                        }),
                      ]
                    : []),
                  colourWord(e.predicted.endColour),
                ].join(', ')}
                .
              </span>
            </li>
          )}
        </For>
      </ol>
      <Show when={props.found.tests.length > 0}>
        <h3>{t('rehearsal.tellApart')}</h3>
        <ul>
          <For each={props.found.tests.slice(0, 3)}>
            {(test) => (
              <li>
                {said(test.what)} ({t('rehearsal.aboutMinutes', { n: Math.max(1, Math.round(test.minutes)) })}): {t('rehearsal.ifFirst')}{' '}
                {test.first === null ? t('rehearsal.none') : said(test.first)}; {t('rehearsal.ifSecond')}{' '}
                {test.second === null ? t('rehearsal.none') : said(test.second)}.
              </li>
            )}
          </For>
        </ul>
      </Show>
      <p class="quiet">
        {t('rehearsal.notCovered')} {props.found.notCovered.map(said).join('; ')}.
      </p>
    </div>
  )
}
