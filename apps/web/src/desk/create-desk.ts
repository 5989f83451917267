/** The desk over a store and workers. Every change is written to the store at once; reading follows behind. */
import type { Outcome, Problem } from '@beakertide/basis/problems'
import type { DangerLine } from '@beakertide/core/papers'
import type { Renaming } from '@beakertide/demonstration/edit'
import { createEffect, createMemo, createSignal, untrack } from '../framework.ts'
import { inTurn, onNewest } from '../store/in-turn.ts'
import type { KeptDemonstration, KeptVersion, Store } from '../store/kept.ts'
import { said, t } from '../words/index.ts'
import { type Changes, type DayView, type DocumentText, noChanges, type Work } from '../work/contract.ts'
import type { Desk, Edit, StopName } from './desk.ts'
import { back, begin, forward, type History, record, redoLabel, undoLabel } from './history.ts'
import { stopState } from './stop-states.ts'
import { titleOf } from './title-of.ts'

/** Changes of a text in place, comments kept. */
export type EditText = (text: string, edits: readonly Edit[]) => Outcome<string> | Promise<Outcome<string>>

/** A name changed everywhere in a text. */
export type RenameInText = (text: string, renaming: Renaming) => Outcome<string> | Promise<Outcome<string>>

/** Something a person must know, that stays until it is put away. */
export interface Notice {
  readonly id: number
  readonly kind: 'both kept' | 'full' | 'not saved' | 'edit refused' | 'other tab' | 'deleted' | 'file' | 'missing'
  readonly text: string
  /** A way back or out, where there is one. */
  readonly action?: { readonly label: string; readonly run: () => void }
}

/** What the shell and the bench do beside what pages do. */
export interface DeskKeeper {
  readonly desk: Desk
  /** False where what is saved ends with the tab. */
  readonly isKeeping: boolean
  readonly notices: () => readonly Notice[]
  tell(notice: Omit<Notice, 'id'>): void
  putAway(id: number): void
  /** Opens what the store has under the key. False: it has nothing, or only in the bin. */
  open(key: string): Promise<boolean>
  /** Opens a text that is not kept yet; it is kept with its first change, or at once when `keepNow`. */
  openText(key: string, document: DocumentText, options: { readonly example: string | null; readonly keepNow: boolean }): Promise<void>
  close(): void
  versions(): Promise<readonly KeptVersion[]>
  /** Puts the text of a version in place of the present one, as a change that can be undone. */
  takeVersion(version: KeptVersion): void
  /** Resolves when everything is written. */
  settled(): Promise<void>
}

/** A key that no demonstration has. */
export const newKey = (): string => crypto.randomUUID().slice(0, 13)

const nothing: DocumentText = { text: '', beside: {} }

export interface DeskParts {
  readonly work: Work
  readonly store: Store
  readonly editText: EditText
  readonly renameInText: RenameInText
  readonly now?: () => number
}

export function createDesk({ work, store, editText, renameInText, now = Date.now }: DeskParts): DeskKeeper {
  const [key, setKey] = createSignal<string | null>(null)
  const [history, setHistory] = createSignal<History>(begin(nothing, 0))
  const [day, setDay] = createSignal<DayView | null>(null)
  const [reading, setReading] = createSignal(false)
  const [chosenVessel, setChosenVessel] = createSignal<string | null>(null)
  const [changes, setChanges] = createSignal<Changes>(noChanges)
  const [saved, setSaved] = createSignal<'saved' | 'saving' | 'not saved'>('saved')
  const [notices, setNotices] = createSignal<readonly Notice[]>([])
  const document = createMemo(() => history().now.document)
  /** Dangers of clearing, for one document. */
  const [cleared, setCleared] = createSignal<{
    readonly document: DocumentText
    readonly byVessel: Readonly<Record<string, readonly DangerLine[]>>
  } | null>(null)
  const clearingDanger = createMemo(() => {
    const known = cleared()
    return known?.document === document() ? Object.values(known.byVessel).flat() : null
  })
  const vessels = createMemo(() => day()?.demonstration?.vessels.map((v) => v.id) ?? [])
  const vessel = createMemo(() => {
    const chosen = chosenVessel()
    return chosen !== null && vessels().includes(chosen) ? chosen : (vessels()[0] ?? null)
  })

  let noticeCount = 0
  const tell = (notice: Omit<Notice, 'id'>): void => {
    // One of a kind is enough; the newest says it.
    setNotices((all) => [...all.filter((n) => n.kind !== notice.kind), { ...notice, id: ++noticeCount }])
  }
  const putAway = (id: number): void => void setNotices((all) => all.filter((n) => n.id !== id))

  /** What the store last knew of the open demonstration. */
  let revision = 0
  let example: string | null = null
  /** Saves run one after the other; the newest text is what counts. */
  let wanted: DocumentText | null = null
  let saving: Promise<void> | null = null

  function save(): void {
    const at = key()
    if (at === null) return
    wanted = document()
    setSaved('saving')
    saving ??= saveAll(at).finally(() => {
      saving = null
    })
  }
  async function saveAll(at: string): Promise<void> {
    while (wanted !== null) {
      const text = wanted
      wanted = null
      const result = await store.save(at, text, titleOf(text.text), revision, example)
      if (result.how === 'saved' || result.how === 'both kept') {
        if (key() === at) revision = result.revision
        if (result.how === 'both kept') {
          const { other } = result
          tell({
            kind: 'both kept',
            text: t('shell.bothKept'),
            action: { label: t('shell.takeOther'), run: () => takeVersion(other) },
          })
        }
        setNotices((all) => all.filter((n) => n.kind !== 'full' && n.kind !== 'not saved'))
        if (wanted === null) setSaved('saved')
      } else {
        setSaved('not saved')
        tell({
          kind: result.how === 'full' ? 'full' : 'not saved',
          text: result.how === 'full' ? t('shell.full') : t('shell.notSaved', { why: result.why }),
        })
        return
      }
    }
  }
  async function settled(): Promise<void> {
    while (saving !== null) await saving
  }

  /** Reading: one at a time, the newest text next. */
  let readFor: string | null = null
  async function read(): Promise<void> {
    const at = key()
    if (at === null) return
    const text = document()
    const mark = `${at} ${text.text}`
    readFor = mark
    setReading(true)
    const view = await work.open(text, t('shell.document'))
    // Another text or another demonstration came meanwhile: its own reading will answer.
    if (readFor !== mark) return
    setDay(view)
    setReading(false)
  }

  function change(document: DocumentText, label: string, joins: boolean): void {
    const before = history()
    const after = record(before, document, label, now(), joins)
    if (after === before) return
    setHistory(after)
    save()
  }
  const step = (after: History): void => {
    if (after === history()) return
    setHistory(after)
    setChanges(noChanges)
    save()
  }
  function takeVersion(version: KeptVersion): void {
    if (version.of === key()) change(version.document, t('shell.label.version'), false)
  }

  const afterEdits = inTurn()
  const newestText = (): string => document().text
  function edit(wish: readonly Edit[], label: string): void {
    const at = key()
    const edited = afterEdits(async () => {
      const made = await onNewest(newestText, (text) => editText(text, wish))
      // Another demonstration was opened meanwhile.
      if (key() !== at) return
      if (made.ok) change({ ...document(), text: made.value }, label, false)
      else tell({ kind: 'edit refused', text: sentenceOf(made.problems) })
    })
    edited.catch((error: unknown) => tell({ kind: 'edit refused', text: error instanceof Error ? error.message : String(error) }))
  }
  function rename(renaming: Renaming): Promise<readonly Problem[]> {
    const at = key()
    return afterEdits(async () => {
      const { from, to } = renaming
      const made = await onNewest(newestText, (text) => renameInText(text, renaming))
      if (key() !== at) return []
      if (!made.ok) return made.problems
      const isChosen = renaming.of === 'vessel' && vessel() === from
      change({ ...document(), text: made.value }, t('rename.label', { from, to }), false)
      // What is held on sliders goes by the old names.
      setChanges(noChanges)
      if (isChosen) setChosenVessel(to)
      return []
    })
  }
  const sentenceOf = (problems: readonly Problem[]): string =>
    problems.map((p) => `${said(p.where)}: ${said(p.what)}; ${said(p.todo)}.`).join(' ')

  createEffect(() => {
    document()
    if (key() !== null) void untrack(read)
  })

  store.watch((kept: KeptDemonstration) => {
    if (kept.key !== key() || saving !== null || kept.revision <= revision) return
    revision = kept.revision
    if (kept.deletedAt !== null) {
      tell({ kind: 'deleted', text: t('shell.deletedElsewhere') })
      return
    }
    setHistory((h) => record(h, kept.document, t('shell.label.otherTab'), now(), true))
    setSaved('saved')
  })

  /** Every change worked out and saved. */
  async function allSaved(): Promise<void> {
    await afterEdits(() => Promise.resolve())
    await settled()
  }
  /** What is kept under a key when nothing of what is open is on its way to the store any more: a save belongs to one demonstration. */
  async function keptUnder(at: string): Promise<KeptDemonstration | null> {
    for (;;) {
      await allSaved()
      const kept = await store.demonstration(at)
      if (saving === null) return kept
    }
  }

  function show(at: string, document: DocumentText): void {
    readFor = null
    setDay(null)
    setChosenVessel(null)
    setChanges(noChanges)
    setSaved('saved')
    setHistory(begin(document, now()))
    setKey(at)
  }

  const desk: Desk = {
    key,
    document,
    day,
    reading,
    vessel,
    chooseVessel: (id) => void setChosenVessel(id),
    changes,
    change: (wish) => void setChanges(wish),
    write: (text) => change({ ...document(), text }, t('shell.label.typing'), true),
    edit,
    rename,
    undo: () => step(back(history())),
    redo: () => step(forward(history())),
    canUndo: createMemo(() => undoLabel(history())),
    canRedo: createMemo(() => redoLabel(history())),
    saved,
    clearingDanger,
    knowClearing: (of, vesselId, danger) => {
      const known = untrack(cleared)
      setCleared({ document: of, byVessel: { ...(known?.document === of ? known.byVessel : {}), [vesselId]: danger } })
    },
    stop: (name: StopName) => stopState(name, day(), key() !== null, t, clearingDanger(), said),
    work,
  }
  return {
    desk,
    isKeeping: store.isKeeping,
    notices,
    tell,
    putAway,
    open: async (at) => {
      const kept = await keptUnder(at)
      // What lies in the bin is brought back there, not by opening it.
      if (kept === null || kept.deletedAt !== null) return false
      revision = kept.revision
      example = kept.example
      show(at, kept.document)
      return true
    },
    openText: async (at, text, options) => {
      const before = await keptUnder(at)
      if (before) {
        await store.keepVersion(at, before.document, 'before it was replaced')
        await allSaved()
      }
      revision = before?.revision ?? 0
      example = options.example
      show(at, text)
      if (options.keepNow) {
        save()
        await settled()
      }
    },
    close: () => {
      setKey(null)
      setDay(null)
      setHistory(begin(nothing, now()))
    },
    versions: async () => {
      const at = key()
      return at === null ? [] : await store.versions(at)
    },
    takeVersion,
    settled: allSaved,
  }
}
