import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { done, type Outcome, problemsText } from '@beakertide/basis/problems'
import { facts } from '@beakertide/data'
import { aimOfVessel } from '../aim-of.ts'
import { bandOfVessel, rehearseVessel } from '../day.ts'
import { mistakesOfVessel } from '../mistakes-of.ts'
import { besideIn, type HouseFacts, openDocument, prepareDocument } from '../open-document.ts'
import { variedRecipes } from '../varied-recipes.ts'
import { coastOfVessel, varyVessel } from '../vary-of.ts'
import type { Job, JobResult } from './job.ts'
import { aimOver, bandOver, carpetOver, coastOver, type DayOverPool, mistakesOver } from './over-pool.ts'
import { createJobRunner, runJob } from './run-job.ts'
import { cancelled, type Crew, inProcessPool, poolOf, resultsOf, type TaskPool } from './task-pool.ts'

const house: HouseFacts = { day: facts.day(), mechanisms: facts.mechanisms(), mechanismDefaults: facts.mechanismDefaults() }
const text = readFileSync(new URL('../../examples/right/slow-fuse.yaml', import.meta.url), 'utf8')
const value = <T>(outcome: Outcome<T>): T => {
  if (!outcome.ok) throw new Error(problemsText(outcome.problems))
  return outcome.value
}
const open = value(openDocument(text, 'slow-fuse.yaml', besideIn({ text, beside: {} }), house))
const prepared = value(prepareDocument(open, house))
const head = { format: 'beakertide-job/1', document: open.document, name: 'slow-fuse.yaml', mechanism: null } as const

/** A pool of several workers whose jobs end in another order than they begin, and pass through JSON as they would over a line. */
function shuffling(threads: number): TaskPool {
  const runners = Array.from({ length: threads }, () => createJobRunner(house))
  const free = [...runners.keys()]
  let turn = 0
  return poolOf({
    threads,
    begin: () => ({
      async send(job) {
        const mine = free.pop()!
        for (let waits = (turn++ * 7) % 5; waits > 0; waits--) await new Promise((go) => setImmediate(go))
        const answer = runners[mine]!(JSON.parse(JSON.stringify(job)) as Job)
        free.push(mine)
        return JSON.parse(JSON.stringify(answer)) as Outcome<JobResult>
      },
      stop: () => undefined,
      end: () => undefined,
    }),
    close: () => Promise.resolve(),
  })
}
const over = (threads: number): DayOverPool => ({ pool: shuffling(threads), head, prepared, facts: house.day })

describe('the answer is the same to the last bit, however many threads there are', () => {
  it.each([1, 3])('a band over %i', async (threads) => {
    const wish = { samples: 36, seed: 5 }
    const here = value(bandOfVessel(prepared, 'flask', house.day, wish))
    const told: number[] = []
    const got = value(await bandOver(over(threads), { ...wish, vessel: 'flask', onSample: (n) => told.push(n) }))
    expect(got).toEqual(here)
    expect(told).toEqual(Array.from({ length: got.samples + got.failed }, (_, i) => i + 1))
  })
  it('a carpet, its rows checked', async () => {
    const wish = { vessel: 'flask', range: { what: 'thiosulfate' }, rows: 5 }
    expect(value(await carpetOver(over(3), wish))).toEqual(value(varyVessel(prepared, wish, house.day)))
  })
  it('a coast', async () => {
    const x = { what: 'thiosulfate', to: '9' }
    const wish = { vessel: 'flask', x, y: { what: 'temperature' }, coarse: 2, halvings: 1, mostRuns: 40 }
    const here = value(coastOfVessel(prepared, wish, house.day))
    expect(here.points.length).toBeGreaterThan(12)
    expect(value(await coastOver(over(3), wish))).toEqual(here)
  })
  it('an aim with its band, by one amount and by two', async () => {
    const wish = { vessel: 'flask', feature: 'first-turn', wanted: [70, 70], by: 'thiosulfate', band: 3, seed: 1 } as const
    for (const w of [wish, { ...wish, also: [{ by: 'iodide' }] }]) {
      const here = value(aimOfVessel(prepared, w, house.day))
      expect(here.answer.how).toBe('found')
      expect(value(await aimOver(over(3), w))).toEqual(here)
    }
  })
  it('mistakes', async () => {
    const wish = { vessel: 'flask', seen: { firstTurnS: 114 } }
    expect(value(await mistakesOver(over(3), wish))).toEqual(value(mistakesOfVessel(prepared, wish, house.day)))
  })
  it('varied recipes, whatever ran before and however they are cut', () => {
    const wish = { kind: 'varied-recipes', seed: 3, factor: 2, relativeTolerance: 1e-4, samples: 101 } as const
    const job = (from: number, until: number): Job => ({ ...head, vessel: 'flask', ...wish, runs: { from, until } })
    const runner = createJobRunner(house)
    const found = (result: JobResult) => (result.kind === 'varied-recipes' ? result.found : [])
    const whole = found(value(runner(job(0, 6))))
    const parts = [found(value(runner(job(4, 6)))), found(value(runJob(job(0, 4), house)))]
    expect([...parts[1]!, ...parts[0]!]).toEqual(whole)
    expect(whole.every((w) => w.found !== null)).toBe(true)
  })
})

it('a recipe varied by nothing does what its rehearsal does', () => {
  const wish = { seed: 3, factor: 1, relativeTolerance: 1e-4, samples: 301 }
  const { factors, found } = value(variedRecipes(prepared, 'flask', wish, house.day))(0)
  expect(Object.values(factors).every((f) => f === 1)).toBe(true)
  const [turn] = value(rehearseVessel(prepared, 'flask', house.day)).turns
  // iodine rises on and on after the turn that starch shows at once: one swing, later than it
  expect(found!.swings).toBe(1)
  expect(found!.firstSwingS!).toBeGreaterThan(turn!.timeS)
})

const answer: JobResult = { kind: 'carpet', rows: [] }
const job: Job = { ...head, vessel: 'flask', kind: 'carpet', range: { what: 'iodide' }, values: [] }

/** A crew whose jobs are ended by hand. */
function byHand(threads: number) {
  const running: { readonly job: Job; readonly end: (outcome: Outcome<JobResult>) => void }[] = []
  const crew: Crew = {
    threads,
    begin: () => ({
      send: (sent) => new Promise((end) => running.push({ job: sent, end })),
      stop() {
        for (const r of running.splice(0)) r.end({ ok: false, problems: [cancelled] })
      },
      end: () => undefined,
    }),
    close: () => Promise.resolve(),
  }
  return { pool: poolOf(crew), running }
}
const settle = (): Promise<void> => new Promise((go) => setImmediate(go))

describe('a pool', () => {
  it('takes jobs only as workers come free: a long list needs the memory of a few', async () => {
    let asked = 0
    const { pool, running } = byHand(2)
    const jobs = function* () {
      for (;;) {
        asked++
        yield job
      }
    }
    const seen: number[] = []
    const reading = (async () => {
      for await (const { index } of pool.run(jobs())) {
        seen.push(index)
        if (index === 4) break
      }
    })()
    await settle()
    expect(asked).toBe(2)
    // the first stays away: results behind it wait, but never more than eight a worker, and the list is not read on
    for (let k = 0; k < 100; k++) {
      running.pop()?.end(done(answer))
      if (running.length === 0) break
      await settle()
      if (running.length < 2) break
    }
    expect(asked).toBeLessThanOrEqual(20)
    while (seen.at(-1) !== 4) {
      running.shift()?.end(done(answer))
      await settle()
    }
    await reading
    expect(seen).toEqual([0, 1, 2, 3, 4])
  })
  it('gives results in order of completion when asked to', async () => {
    const { pool, running } = byHand(2)
    const seen: number[] = []
    const reading = (async () => {
      for await (const { index } of pool.run([job, job], { order: 'completion' })) seen.push(index)
    })()
    await settle()
    running[1]!.end(done(answer))
    await settle()
    expect(seen).toEqual([1])
    running[0]!.end(done(answer))
    await reading
    expect(seen).toEqual([1, 0])
  })
  it('ends what runs when it is stopped, begins nothing more, and a plan keeps what it had', async () => {
    const stop = new AbortController()
    const { pool, running } = byHand(2)
    const got = resultsOf(pool, [job, job, job, job, job], { signal: stop.signal })
    await settle()
    running.shift()!.end(done(answer))
    await settle()
    stop.abort()
    const outcome = await got
    expect(outcome.ok && outcome.value).toEqual([answer])
    expect(running).toEqual([])
    let n = 0
    const counting = { pool: shuffling(2), head, prepared, facts: house.day, signal: stop.signal }
    const band = value(await bandOver(counting, { vessel: 'flask', samples: 40, seed: 1, onSample: () => n++ }))
    expect([band.stoppedBecause, band.samples, n]).toEqual(['cancelled', 0, 0])
  })
  it('a job that cannot be answered is an outcome with problems: no such vessel, a broken document, a fault of ours', async () => {
    const pool = inProcessPool(createJobRunner(house))
    const codes: string[] = []
    const bad: Job[] = [
      { ...job, vessel: 'bucket' },
      { ...job, document: { text: 'beakertide: 1', beside: {} } },
      { ...job, range: null as never, values: [1] },
      { ...job, values: [1] },
    ]
    for await (const { outcome } of pool.run(bad)) codes.push(outcome.ok ? 'done' : outcome.problems[0]!.code)
    expect(codes).toEqual(['work/no-such-vessel', expect.stringContaining('document/'), 'work/fault', 'done'])
  })
  it('a stop is asked for within a job', () => {
    let asked = 0
    const got = runJob({ ...job, values: [1, 2, 3] }, house, { shouldStop: () => ++asked > 3 })
    expect(got.ok ? '' : got.problems[0]!.code).toBe('work/cancelled')
  })
})
