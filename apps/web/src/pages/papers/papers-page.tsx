/** Papers: choose, see them as they print, print or save. */
import type { Problem } from '@beakertide/basis/problems'
import {
  htmlPage,
  type Imprint,
  LABEL_SHEETS,
  type LabelSheet,
  type Paper,
  type PaperSize,
  PAPER_KINDS,
  type PaperKind,
  type PrintChoices,
  sheetWords,
  tooLongFor,
  translatePaper,
} from '@beakertide/core/papers'
import type { Desk } from '../../desk/desk.ts'
import { createEffect, createMemo, createSignal, createUniqueId, For, onCleanup, Show } from '../../framework.ts'
import { createBands } from '../../parts/bands.ts'
import { PaperPreview } from '../../parts/paper-preview.tsx'
import { ProblemLines } from '../../parts/problem-lines.tsx'
import { download, fileName } from '../../shell/save-to-file.ts'
import { readRunRecord, type RunRecord, runToPrint } from '../../store/run-record.ts'
import { collection } from '../../store/store.ts'
import { language, said, t } from '../../words/index.ts'
import { numbersOf } from '../../words/numbers.ts'
import type { DocumentText } from '../../work/contract.ts'
import { CheckTyped } from './check-typed.tsx'
import { PrintedPapers } from './printed-papers.tsx'
import './papers-page.css'

/** What a person chose stays while the program is open, from one demonstration to the next. */
const [chosen, setChosen] = createSignal<readonly PaperKind[]>(['cautions', 'make-up'])
const [size, setSize] = createSignal<PaperSize | null>(null)
const [sheetId, setSheetId] = createSignal<string | null>(null)
const [skip, setSkip] = createSignal(0)
const [copies, setCopies] = createSignal(1)

/** Papers that show a band. */
const WITH_BAND: readonly PaperKind[] = ['rehearsal', 'cues', 'write-up']
const MOST_COPIES = 50

/** Places that print on letter paper. */
const usualSize = (): PaperSize => (/-(US|CA|MX|PH|CL|CO|VE)\b/i.test(numbersOf()) ? 'letter' : 'A4')
const whenWords = (ms: number): string => new Date(ms).toLocaleString(numbersOf(), { dateStyle: 'medium', timeStyle: 'short' })

export function PapersPage(props: { readonly desk: Desk }) {
  const { desk } = props
  const id = createUniqueId()
  const prepared = () => desk.day()?.prepared ?? null
  const [made, setPapers] = createSignal<readonly Paper[]>([])
  /** The document that the papers were made of. */
  const [madeOf, setMadeOf] = createSignal<DocumentText | null>(null)
  /** Papers of the document as it was before its last change are shown, and not printed. */
  const isOld = (): boolean => madeOf() !== desk.document()
  /** In the language of the page; another language tells them anew. */
  const papers = createMemo(() => made().map((p) => translatePaper(p, said)))
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  const [isMaking, setMaking] = createSignal(false)
  const [runs, setRuns] = createSignal<readonly RunRecord[]>([])
  const [runId, setRunId] = createSignal<string | null>(null)

  const paper = (): PaperSize => size() ?? usualSize()
  const sheets = createMemo(() => LABEL_SHEETS.filter((s) => s.paper === paper()))
  const sheet = (): LabelSheet => sheets().find((s) => s.id === sheetId()) ?? sheets()[0]!
  const choices = createMemo(
    (): PrintChoices => ({
      paper: paper(),
      labels: { sheet: sheet(), skip: skip(), copies: copies() },
      telling: { language: language(), tell: said },
    }),
  )
  const wantsBand = createMemo(() => chosen().some((k) => WITH_BAND.includes(k)))
  const imprint = createMemo((): Imprint => {
    papers()
    return { from: prepared()?.demonstration.title ?? '', by: t('papers.by'), at: whenWords(Date.now()) }
  })
  const tooSmall = createMemo(() =>
    tooLongFor(
      papers().flatMap((p) => p.blocks.flatMap((b) => (b.block === 'labels' ? b.labels : []))),
      sheet(),
    ),
  )

  createEffect(() => {
    const key = desk.key()
    void collection<RunRecord>('runs')
      .all()
      .then((all) => {
        const own = all.flatMap((r) => readRunRecord(r) ?? []).filter((r) => r.of === key && r.stoppedS !== null)
        setRuns(own.sort((a, b) => b.startedAt - a.startedAt))
        setRunId(own[0]?.id ?? null)
      })
  })

  // Of all vessels, once a paper needs them.
  const bands = createBands(desk.work, () =>
    wantsBand() ? { document: desk.document(), vessels: (prepared()?.demonstration.vessels ?? []).map((v) => v.id) } : null,
  )

  let round = 0
  createEffect(() => {
    const document = desk.document()
    const kinds = chosen()
    const run = runs().find((r) => r.id === runId())
    const given = { bands: bands.byVessel(), runs: run ? [runToPrint(run, whenWords)] : [] }
    const mine = ++round
    if (!prepared() || kinds.length === 0) {
      setPapers([])
      setProblems([])
      setMaking(false)
      return
    }
    setMaking(true)
    void desk.work.papers(document, kinds, given).then((answer) => {
      if (mine !== round) return
      setMaking(false)
      setPapers(answer.ok ? answer.value : [])
      setMadeOf(document)
      setProblems(answer.ok ? [] : answer.problems)
    })
  })
  onCleanup(() => ++round)

  const choose = (kind: PaperKind, on: boolean): void => {
    setChosen(PAPER_KINDS.filter((k) => (k === kind ? on : chosen().includes(k))))
  }
  const save = (): void => {
    const title = prepared()?.demonstration.title ?? ''
    download(fileName(title).replace(/\.yaml$/, '.html'), htmlPage(title, papers(), imprint(), choices()), 'text/html')
  }
  const whole = (text: string, low: number, high: number): number => {
    const n = Math.round(Number(text))
    return Number.isFinite(n) ? Math.min(high, Math.max(low, n)) : low
  }

  return (
    <article class="papers-page">
      <Show
        when={prepared()}
        fallback={
          <>
            <h1>{t('papers.title')}</h1>
            <p class="empty">{t('papers.noDay')}</p>
          </>
        }
      >
        <div class="papers-choices">
          <h1>{t('papers.title')}</h1>
          <p class="lead">{t('papers.lead')}</p>
          <fieldset>
            <legend>{t('papers.which')}</legend>
            <p class="papers-all">
              <button type="button" onClick={() => setChosen(PAPER_KINDS)}>
                {t('papers.all')}
              </button>
              <button type="button" onClick={() => setChosen([])}>
                {t('papers.none')}
              </button>
            </p>
            <For each={PAPER_KINDS}>
              {(kind) => (
                <label class="papers-kind">
                  <input type="checkbox" checked={chosen().includes(kind)} onChange={(e) => choose(kind, e.currentTarget.checked)} />
                  <span>
                    {t(`papers.${kind}`)} <span class="quiet">{t(`papers.${kind}.for`)}</span>
                  </span>
                </label>
              )}
            </For>
          </fieldset>
          <fieldset>
            <legend>{t('papers.size')}</legend>
            <div class="papers-row">
              <For each={['A4', 'letter'] as const}>
                {(s) => (
                  <label class="papers-kind">
                    <input type="radio" name={`${id}-size`} checked={paper() === s} onChange={() => setSize(s)} />
                    <span>{s === 'A4' ? t('papers.sizeA4') : t('papers.sizeLetter')}</span>
                  </label>
                )}
              </For>
            </div>
            <Show when={chosen().includes('labels')}>
              <label class="papers-field">
                {t('papers.labelSheet')}
                <select onChange={(e) => setSheetId(e.currentTarget.value)}>
                  <For each={sheets()}>
                    {(s) => (
                      <option value={s.id} selected={s.id === sheet().id}>
                        {s.cut ? t('papers.labelPlain', { size: sheetWords(s) }) : sheetWords(s)}
                      </option>
                    )}
                  </For>
                </select>
              </label>
              <label class="papers-field">
                {t('papers.used')}
                <input
                  type="number"
                  min="0"
                  max={sheet().columns * sheet().rows - 1}
                  value={skip()}
                  onChange={(e) => setSkip(whole(e.currentTarget.value, 0, sheet().columns * sheet().rows - 1))}
                />
              </label>
              <label class="papers-field">
                {t('papers.copies')}
                <input
                  type="number"
                  min="1"
                  max={MOST_COPIES}
                  value={copies()}
                  onChange={(e) => setCopies(whole(e.currentTarget.value, 1, MOST_COPIES))}
                />
              </label>
              <p class="quiet">{t('papers.fullSize')}</p>
              <Show when={tooSmall().length > 0}>
                <p class="differs" role="status">
                  {t('papers.tooSmall', { names: tooSmall().join(', ') })}
                </p>
              </Show>
            </Show>
            <Show when={chosen().includes('write-up')}>
              <label class="papers-field">
                {t('papers.run')}
                <select onChange={(e) => setRunId(e.currentTarget.value === '' ? null : e.currentTarget.value)}>
                  <option value="" selected={runId() === null}>
                    {t('papers.noRun')}
                  </option>
                  <For each={runs()}>
                    {(r) => (
                      <option value={r.id} selected={r.id === runId()}>
                        {whenWords(r.startedAt)}, {r.vessel}
                      </option>
                    )}
                  </For>
                </select>
              </label>
            </Show>
          </fieldset>
          <div class="papers-do">
            <button type="button" class="main" disabled={papers().length === 0 || isOld()} onClick={() => window.print()}>
              {t('papers.print')}
            </button>
            <button type="button" disabled={papers().length === 0 || isOld()} onClick={save}>
              {t('papers.download')}
            </button>
          </div>
          <div role="status" class="papers-work">
            <Show when={isMaking()}>
              <p>{t('papers.making')}</p>
            </Show>
            <Show when={bands.progress()}>
              {(p) => (
                <p>
                  <span>{t('papers.band', { vessel: p().vessel, done: p().done, of: p().of })}</span>
                  <progress max={p().of} value={p().done} aria-label={t('papers.making')} />
                  <button type="button" onClick={() => bands.skip()}>
                    {t('papers.bandSkip')}
                  </button>
                </p>
              )}
            </Show>
          </div>
          <CheckTyped desk={desk} />
        </div>
        <section class="papers-preview" aria-labelledby={`${id}-preview`}>
          <h2 id={`${id}-preview`}>{t('papers.preview')}</h2>
          <ProblemLines problems={problems()} />
          <Show when={papers().length > 0} fallback={<p class="empty">{chosen().length === 0 ? t('papers.nothingChosen') : ''}</p>}>
            <PaperPreview papers={papers()} imprint={imprint()} choices={choices()} />
            <Show when={!isOld()}>
              <PrintedPapers papers={papers()} imprint={imprint()} choices={choices()} />
            </Show>
          </Show>
        </section>
      </Show>
    </article>
  )
}
