/** The courses a rehearsal page shows: the newest answer for every vessel, asked again at every change, drawn at once. */
import type { Problem } from '@beakertide/basis/problems'
import type { DangerLine } from '@beakertide/core/papers'
import type { Rehearsal, StripSample, Trace } from '@beakertide/core/rehearsal'
import { type Accessor, createEffect, createSignal, onCleanup } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { createLatestWins } from '../../parts/latest-wins.ts'
import type { TimeStage } from '../../parts/time-stage.ts'
import type { Answer, Changes, DocumentText, QuickLook } from '../../work/contract.ts'
import { isUnchanged } from './amounts.ts'
import { eyeAbsorbance } from './eye-absorbance.ts'

/** What is shown of one vessel, whatever accuracy it comes from. */
export interface Course extends QuickLook {
  readonly fromS: number
  readonly endColour: string
  /** Of full accuracy. */
  readonly isFine: boolean
}

function ends(strip: readonly StripSample[], startS: number): readonly [number, number] {
  return [Math.min(0, strip[0]?.timeS ?? startS), strip.at(-1)?.timeS ?? startS]
}

/** Traces in the order of the bench: electrodes, absorbance, temperature, gas. */
function withAbsorbance(traces: readonly Trace[], strip: readonly StripSample[]): readonly Trace[] {
  const absorbance = eyeAbsorbance(strip)
  if (!absorbance) return traces
  const at = traces.findIndex((x) => x.name === 'temperature')
  return at < 0 ? [...traces, absorbance] : [...traces.slice(0, at), absorbance, ...traces.slice(at)]
}

/** A look at display accuracy as a course. */
export function courseOfLook(q: QuickLook): Course {
  const [fromS] = ends(q.strip, q.startS)
  return {
    ...q,
    fromS,
    traces: withAbsorbance(q.traces, q.strip),
    endColour: q.turns.at(-1)?.to ?? q.strip.at(-1)?.name ?? '',
    isFine: false,
  }
}

/** A whole rehearsal as a course. */
export function courseOfRehearsal(r: Rehearsal): Course {
  const [fromS, toS] = ends(r.strip, r.startS)
  return {
    ...r,
    fromS,
    toS,
    traces: withAbsorbance(r.traces, r.strip),
    endColour: r.turns.at(-1)?.to ?? r.finalColour.name,
    // Rehearsed in full is the recipe as written; its cautions head the page.
    danger: [],
    problems: r.remarks,
    isFine: true,
  }
}

interface Wish {
  readonly document: DocumentText
  readonly vessel: string
  readonly changes: Changes
  /** When it was wished for, ms. */
  readonly sinceMs: number
}

export interface Courses {
  /** The newest course of the vessel the page speaks of; for words. */
  readonly shown: Accessor<Course | null>
  /** Why there is none for what is held now: dangers first. Empty when there is one. */
  readonly refusal: Accessor<readonly Problem[]>
  /** What the changes held add to the cautions of the recipe as written; empty when nothing is held or nothing got worse. */
  readonly danger: Accessor<readonly DangerLine[]>
  /** True while the words and pictures are older than what is held. */
  readonly isBehind: Accessor<boolean>
  /** For drawing, without tracking. */
  of(vessel: string): Course | null
  /** ms from the change to its answer, of the last answers. */
  readonly delaysMs: readonly number[]
}

/** After so long without a change the fine rehearsal is asked, ms. */
const REST_MS = 300
/** Delays kept. */
const DELAYS = 400

/** Asks through the desk, tells the stage. To be called inside a component, which gives the stage its time axis. */
export function createCourses(desk: Desk, stage: TimeStage): Courses {
  const byVessel = new Map<string, Course>()
  const [shown, setShown] = createSignal<Course | null>(null)
  const [refusal, setRefusal] = createSignal<readonly Problem[]>([])
  const [isBehind, setIsBehind] = createSignal(false)
  const delaysMs: number[] = []
  let wanted: Wish | null = null
  let rest: ReturnType<typeof setTimeout> | null = null

  const place = (course: Course, wish: Wish): void => {
    byVessel.set(wish.vessel, course)
    if (wish.vessel === desk.vessel()) {
      setShown(course)
      setRefusal([])
    }
    stage.touch()
  }
  const refuse = (problems: readonly Problem[], wish: Wish): void => {
    byVessel.delete(wish.vessel)
    if (wish.vessel === desk.vessel()) {
      setShown(null)
      setRefusal(problems)
    }
    stage.touch()
  }
  const isWanted = (wish: Wish): boolean => wanted === wish
  const quick = createLatestWins<Wish, Answer<QuickLook>>(
    (wish) => desk.work.quickLook(wish.document, wish.vessel, wish.changes),
    (answer, wish) => {
      if (answer.ok) place(courseOfLook(answer.value), wish)
      else refuse(answer.problems, wish)
      delaysMs.push(performance.now() - wish.sinceMs)
      if (delaysMs.length > DELAYS) delaysMs.shift()
      if (isWanted(wish)) {
        setIsBehind(false)
        if (answer.ok) restThen(wish)
      }
    },
    (error, wish) => refuse([fault(error)], wish),
  )
  /** When nothing changes any more: the other vessels, and the fine rehearsal of what is held or stands in the document. */
  const restThen = (wish: Wish): void => {
    if (rest !== null) clearTimeout(rest)
    rest = setTimeout(() => {
      rested(wish).catch((error: unknown) => {
        if (isWanted(wish)) refuse([fault(error)], wish)
      })
    }, REST_MS)
  }
  const rested = async (wish: Wish): Promise<void> => {
    const others = (desk.day()?.demonstration?.vessels ?? []).map((v) => v.id).filter((id) => id !== wish.vessel)
    for (const vessel of others) {
      if (!isWanted(wish)) return
      const answer = await desk.work.quickLook(wish.document, vessel, { ...wish.changes, depthCm: null })
      if (!isWanted(wish)) return
      if (answer.ok) place(courseOfLook(answer.value), { ...wish, vessel })
      else byVessel.delete(vessel)
    }
    if (!isWanted(wish)) return
    if (!isUnchanged(wish.changes)) {
      const fine = await desk.work.fineLook(wish.document, wish.vessel, wish.changes)
      if (!isWanted(wish)) return
      // What the whole document would be refused for is refused here too, also where the quick look let it pass.
      if (fine.ok) place({ ...courseOfLook(fine.value), isFine: true }, wish)
      else refuse(fine.problems, wish)
      return
    }
    const fine = await desk.work.rehearse(wish.document, wish.vessel)
    if (isWanted(wish) && fine.ok) place(courseOfRehearsal(fine.value), wish)
  }
  createEffect(() => {
    const vessel = desk.vessel()
    const day = desk.day()
    const wish: Wish = { document: desk.document(), vessel: vessel ?? '', changes: desk.changes(), sinceMs: performance.now() }
    if (rest !== null) clearTimeout(rest)
    if (vessel === null || day?.prepared == null) {
      wanted = null
      quick.drop()
      byVessel.clear()
      setShown(null)
      setRefusal([])
      stage.touch()
      return
    }
    wanted = wish
    setIsBehind(true)
    quick.ask(wish)
  })
  onCleanup(() => {
    quick.drop()
    wanted = null
    if (rest !== null) clearTimeout(rest)
  })
  const danger = (): readonly DangerLine[] => shown()?.danger ?? []
  return { shown, refusal, danger, isBehind, of: (vessel) => byVessel.get(vessel) ?? null, delaysMs }
}

const fault = (error: unknown): Problem => ({
  code: 'work/failed',
  where: 'the rehearsal',
  what: error instanceof Error ? error.message : String(error),
  todo: 'reload the page; if it comes back, report it with the document',
})
