/** The records laid over the rehearsals of the open demonstration: read by the worker, kept in the browser, changed by the page. */
import type { Problem } from '@beakertide/basis/problems'
import type { Desk } from '../../desk/desk.ts'
import { type Accessor, createEffect, createMemo, createSignal, onCleanup, untrack } from '../../framework.ts'
import { type MeasuredNumbers, type MeasuredRecord, readMeasuredNumbers, readMeasuredRecord } from '../../store/measured-record.ts'
import { lateness, readRunRecord, type RunRecord } from '../../store/run-record.ts'
import { showRecords } from '../../store/shown-records.ts'
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
  const bodies = collection<MeasuredNumbers>('numbers')
  const [kept, setKept] = createSignal<readonly MeasuredRecord[]>([])
  const heads = showRecords(collection<MeasuredRecord>('measured'), readMeasuredRecord, setKept)
  const [known, setKnown] = createSignal<ReadonlyMap<string, MeasuredNumbers>>(new Map())
  const [stored, setStored] = createSignal<readonly RunRecord[]>([])
  onCleanup(showRecords(collection<RunRecord>('runs'), readRunRecord, setStored).stop)
  const [reading, setReading] = createSignal<readonly string[]>([])
  const [notRead, setNotRead] = createSignal<readonly NotRead[]>([])
  /** Records that are shown otherwise than they are kept, or not kept at all. */
  const [lost, setLost] = createSignal<ReadonlySet<string>>(new Set())
  /** Records whose numbers the store has not, or not yet. */
  const unkept = new Set<string>()
  let isHere = true
  onCleanup(() => {
    isHere = false
    heads.stop()
  })

  const records = createMemo(() =>
    kept()
      .filter((r) => r.of === desk.key())
      .sort((a, b) => a.addedAt - b.addedAt),
  )
  const fetchNumbers = async (missing: readonly MeasuredRecord[]): Promise<void> => {
    const fetched = await Promise.all(missing.map(async (r) => readMeasuredNumbers(await bodies.get(r.id), r)))
    setKnown((before) => new Map([...before, ...fetched.flatMap((n) => (n ? [[n.id, n] as const] : []))]))
  }
  createEffect(() => {
    const missing = records().filter((r) => !untrack(known).has(r.id))
    if (missing.length > 0) void fetchNumbers(missing)
  })
  createEffect(() => {
    desk.key()
    setNotRead([])
  })

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

  /** Shown in any case, if the demonstration it is of is still open. What could not be kept is tried again whole with its next change. */
  const keep = async (record: MeasuredRecord): Promise<void> => {
    const numbers = unkept.has(record.id) ? known().get(record.id) : undefined
    const isKept = await heads.put(record, numbers && (() => bodies.put(numbers)))
    if (isKept) unkept.delete(record.id)
    else if (numbers) void bodies.remove(record.id)
    setLost((before) => new Set([...[...before].filter((id) => id !== record.id), ...(isKept ? [] : [record.id])]))
  }
  const lay = (record: MeasuredRecord, numbers: Omit<MeasuredNumbers, 'id'>): void => {
    unkept.add(record.id)
    setKnown((before) => new Map([...before, [record.id, { id: record.id, ...numbers }]]))
    void keep(record)
  }
  const newId = (): string => `measured-${crypto.randomUUID().slice(0, 13)}`

  return {
    all,
    runs: createMemo(() =>
      stored()
        .filter((r) => r.of === desk.key() && r.vessel === desk.vessel() && r.turnsSeenS.length > 0)
        .sort((a, b) => b.startedAt - a.startedAt),
    ),
    reading,
    notRead,
    notKept: createMemo(() => records().flatMap((r) => (lost().has(r.id) ? [r.name] : []))),
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
      lay(record, { timesS: value.timesS, values: value.series.map((s) => s.values) })
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
      lay(record, { timesS, values: [] })
    },
    change(id, change) {
      const before = records().find((r) => r.id === id)
      if (before) void keep({ ...before, ...change })
    },
    remove(id) {
      unkept.delete(id)
      made.delete(id)
      void heads.remove(id).then(() => bodies.remove(id))
      setKnown((before) => new Map([...before].filter(([of]) => of !== id)))
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
