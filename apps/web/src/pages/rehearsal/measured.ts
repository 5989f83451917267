/** The records laid over the rehearsals of the open demonstration: read by the worker, kept in the browser, changed by the page. */
import type { Problem } from '@beakertide/basis/problems'
import type { Desk } from '../../desk/desk.ts'
import { type Accessor, createEffect, createMemo, createSignal, onCleanup, untrack } from '../../framework.ts'
import { type MeasuredNumbers, type MeasuredRecord, readMeasuredNumbers, readMeasuredRecord } from '../../store/measured-record.ts'
import { lateness, readRunRecord, type RunRecord } from '../../store/run-record.ts'
import { collection } from '../../store/store.ts'
import type { TimeAsked } from '../../work/record-contract.ts'
import { type Measured, measuredOf, firstLaid, type PredictedName } from './laid.ts'

/** What could not be read, with its source, so that it can be read again. */
export interface NotRead {
  readonly source: Blob | string
  readonly name: string
  readonly problems: readonly Problem[]
  /** Headings to choose the column of time from; empty when that is not what is missing. */
  readonly columns: readonly string[]
}

export interface MeasuredDesk {
  /** Of the vessel that the page speaks of, oldest first. */
  readonly all: Accessor<readonly Measured[]>
  /** Stored runs of this vessel with their taps, newest first. */
  readonly runs: Accessor<readonly RunRecord[]>
  /** Names of what is being read. */
  readonly reading: Accessor<readonly string[]>
  readonly notRead: Accessor<readonly NotRead[]>
  /** Names of what is shown but could not be kept. */
  readonly notKept: Accessor<readonly string[]>
  /** Resolves to whether it was laid over. */
  add(source: Blob | string, name: string, asked?: TimeAsked): Promise<boolean>
  layRun(run: RunRecord, name: string): void
  change(id: string, change: Partial<Pick<MeasuredRecord, 'startsAtS' | 'isEven' | 'series'>>): void
  remove(id: string): void
  putAway(one: NotRead): void
}

interface Course {
  readonly fromS: number
  readonly toS: number
  readonly startS: number
}

/** To be called inside a component. `predicted` and `course`: what is rehearsed now. */
export function createMeasured(desk: Desk, predicted: () => readonly PredictedName[], course: () => Course): MeasuredDesk {
  const heads = collection<MeasuredRecord>('measured')
  const bodies = collection<MeasuredNumbers>('numbers')
  const runRecords = collection<RunRecord>('runs')
  const [records, setRecords] = createSignal<readonly MeasuredRecord[]>([])
  const [known, setKnown] = createSignal<ReadonlyMap<string, MeasuredNumbers>>(new Map())
  const [stored, setStored] = createSignal<readonly RunRecord[]>([])
  const [reading, setReading] = createSignal<readonly string[]>([])
  const [notRead, setNotRead] = createSignal<readonly NotRead[]>([])
  const [notKept, setNotKept] = createSignal<readonly string[]>([])
  /** Shown although the browser has no room for it. */
  const unkept = new Map<string, MeasuredRecord>()
  let isHere = true
  onCleanup(() => {
    isHere = false
  })

  const load = async (): Promise<void> => {
    const key = untrack(desk.key)
    const kept = (await heads.all()).flatMap((r) => readMeasuredRecord(r) ?? []).filter((r) => r.of === key)
    const mine = [...kept, ...[...unkept.values()].filter((r) => r.of === key)].sort((a, b) => a.addedAt - b.addedAt)
    const before = untrack(known)
    const fetched = await Promise.all(
      mine.map(async (r): Promise<MeasuredNumbers | null> => before.get(r.id) ?? readMeasuredNumbers(await bodies.get(r.id), r)),
    )
    if (!isHere || untrack(desk.key) !== key) return
    setKnown(new Map(fetched.flatMap((n) => (n ? [[n.id, n] as const] : []))))
    setRecords(mine)
  }
  const loadRuns = async (): Promise<void> => {
    const key = untrack(desk.key)
    const all = (await runRecords.all()).flatMap((r) => readRunRecord(r) ?? [])
    if (!isHere) return
    setStored(all.filter((r) => r.of === key && r.turnsSeenS.length > 0).sort((a, b) => b.startedAt - a.startedAt))
  }
  createEffect(() => {
    desk.key()
    setNotRead([])
    setNotKept([])
    void load()
    void loadRuns()
  })
  onCleanup(heads.watch(() => void load()))
  onCleanup(runRecords.watch(() => void loadRuns()))

  /** Lines are made again only when the stamps they stand at change. */
  const made = new Map<string, Measured>()
  const all = createMemo(() =>
    records()
      .filter((r) => r.vessel === desk.vessel())
      .flatMap((record): readonly Measured[] => {
        const numbers = known().get(record.id)
        if (!numbers) return []
        const before = made.get(record.id)
        const next = before && before.record.isEven === record.isEven ? { ...before, record } : measuredOf(record, numbers)
        made.set(record.id, next)
        return [next]
      }),
  )

  const keep = async (record: MeasuredRecord, numbers: MeasuredNumbers): Promise<void> => {
    // Another demonstration may have been opened while it was read: then it is kept, not shown.
    if (untrack(desk.key) === record.of) {
      setKnown(new Map([...known(), [record.id, numbers]]))
      setRecords([...records(), record])
    }
    const isKept = (await bodies.put(numbers)) && (await heads.put(record))
    if (isKept || !isHere) return
    unkept.set(record.id, record)
    void bodies.remove(record.id)
    setNotKept([...notKept(), record.name])
  }
  const newId = (): string => `measured-${crypto.randomUUID().slice(0, 13)}`

  return {
    all,
    runs: createMemo(() => stored().filter((r) => r.vessel === desk.vessel())),
    reading,
    notRead,
    notKept,
    async add(source, name, asked = {}) {
      const [of, vessel] = [desk.key(), desk.vessel()]
      if (of === null || vessel === null) return false
      setReading([...reading(), name])
      setNotRead(notRead().filter((one) => one.name !== name))
      const answer = await desk.work.readRecord(source, name, asked)
      if (!isHere) return false
      const busy = [...reading()]
      busy.splice(busy.indexOf(name), 1)
      setReading(busy)
      if (!answer.ok) {
        if (untrack(desk.key) !== of) return false
        setNotRead([...notRead(), { source, name, problems: answer.problems, columns: answer.columns ?? [] }])
        return false
      }
      const { value, warnings } = answer
      const record = firstLaid(value, warnings, { id: newId(), of, vessel, now: Date.now() }, untrack(predicted), untrack(course))
      void keep(record, { id: record.id, timesS: value.timesS, values: value.series.map((s) => s.values) })
      return true
    },
    layRun(run, name) {
      const pours =
        desk
          .day()
          ?.demonstration?.vessels.find((v) => v.id === run.vessel)
          ?.pours.map((p) => p.atS) ?? []
      const timesS = Float64Array.from(run.turnsSeenS, (s) => s - run.turnsSeenS[0]!)
      const record: MeasuredRecord = {
        id: newId(),
        version: 1,
        of: run.of,
        vessel: run.vessel,
        addedAt: Date.now(),
        name,
        run: run.id,
        rows: timesS.length,
        timeColumn: '',
        evenSpacingS: null,
        isEven: false,
        // The pour that sets it off is laid on the planned one.
        startsAtS: run.turnsSeenS[0]! - lateness(pours, run.pouredS, run.predicted.startS),
        series: [],
        warnings: [],
      }
      void keep(record, { id: record.id, timesS, values: [] })
    },
    change(id, change) {
      const next = records().map((r) => (r.id === id ? { ...r, ...change } : r))
      setRecords(next)
      const changed = next.find((r) => r.id === id)
      if (!changed) return
      if (unkept.has(id)) unkept.set(id, changed)
      else void heads.put(changed)
    },
    remove(id) {
      unkept.delete(id)
      made.delete(id)
      setRecords(records().filter((r) => r.id !== id))
      void heads.remove(id).then(() => bodies.remove(id))
    },
    putAway: (one) => void setNotRead(notRead().filter((other) => other !== one)),
  }
}

/** Files dropped anywhere on the page are read as records, instead of the browser going to them. To be called inside a component. */
export function takeDrops(measured: MeasuredDesk): void {
  const over = (event: DragEvent): void => {
    if (event.dataTransfer?.types.includes('Files')) event.preventDefault()
  }
  const drop = (event: DragEvent): void => {
    const files = [...(event.dataTransfer?.files ?? [])]
    if (files.length === 0) return
    event.preventDefault()
    for (const file of files) void measured.add(file, file.name)
  }
  addEventListener('dragover', over)
  addEventListener('drop', drop)
  onCleanup(() => {
    removeEventListener('dragover', over)
    removeEventListener('drop', drop)
  })
}
