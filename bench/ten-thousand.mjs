// Ten thousand varied recipes at rtol 1e-4 over the pool of threads, streamed: time, memory, and how soon a stop is heard.
//   npm run bench -- --ten-thousand [--runs 10000] [--threads 2]
import { readFileSync } from 'node:fs'
import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'
import { threadPool } from '../apps/cli/dist/thread-pool.js'

const option = (name, usual) => {
  const at = process.argv.indexOf(`--${name}`)
  return at < 0 ? usual : Number(process.argv[at + 1])
}
const text = readFileSync(new URL('../examples/right/tide-in-a-jar.yaml', import.meta.url), 'utf8').replace(
  'rehearse for: 15 min',
  'rehearse for: 10 min',
)
/** The mechanisms behind the problems brx and br; targets in seconds on two cores. */
const works = [
  { problem: 'brx', reaction: 'iodate-peroxide-malonate/extended', targetS: 45 },
  { problem: 'br', reaction: 'iodate-peroxide-malonate/skeleton-a-1982', targetS: 4 },
]
/** Runs a job, so that what crosses between threads weighs nothing. */
const RUNS_A_JOB = 25
const MB = 1e6
/** Shares of the runs at which memory is read: the first tenth fills buffers and lets the engine translate what runs. */
const MEMORY_AT = [0.1, 0.5, 1]
/** Moments of the stops after the work begins, ms. */
const STOPS_MS = [150, 220, 290, 360, 430]

/** Memory of the process with all its threads, what this thread's collector can give back taken off, bytes. */
function residentBytes() {
  setFlagsFromString('--expose-gc')
  runInNewContext('gc')()
  return process.memoryUsage().rss
}

/** From a stop in the middle of the work until the last worker is quiet, ms; the longest of several. */
async function longestStop(pool, threads, job) {
  const endless = function* () {
    for (;;) yield { ...job(0), runs: { from: 0, until: 1_000_000 } }
  }
  let longest = 0
  for (const afterMs of STOPS_MS) {
    const stop = new AbortController()
    let stoppedAt = 0
    setTimeout(() => {
      stoppedAt = performance.now()
      stop.abort()
    }, afterMs)
    let cutShort = 0
    // A run of a pool ends when every job that had begun has been answered by its worker.
    for await (const { outcome } of pool.run(endless(), { signal: stop.signal })) if (!outcome.ok) cutShort++
    if (cutShort !== threads) throw new Error(`${cutShort} of ${threads} workers were stopped in the middle of their work`)
    longest = Math.max(longest, performance.now() - stoppedAt)
  }
  return longest
}

export async function tenThousand() {
  const runs = option('runs', 10_000)
  const threads = option('threads', 2)
  console.log(`${runs} varied recipes over 600 s at 1e-4, ${threads} threads`)
  console.log(
    `problem  seconds  target   processor, s   µs a recipe   swinging   failed   memory at ${MEMORY_AT.map((x) => 100 * x).join(', ')} %, MB   stop to quiet, ms`,
  )
  for (const { problem, reaction, targetS } of works) {
    const document = { text: text.replace('reaction: iodate-peroxide-malonate\n', `reaction: ${reaction}\n`), beside: {} }
    const job = (from) => ({
      format: 'beakertide-job/1',
      document,
      name: problem,
      mechanism: null,
      vessel: 'jar',
      kind: 'varied-recipes',
      seed: 1,
      factor: 1.5,
      relativeTolerance: 1e-4,
      samples: 601,
      runs: { from, until: Math.min(runs, from + RUNS_A_JOB) },
    })
    const jobs = function* () {
      for (let from = 0; from < runs; from += RUNS_A_JOB) yield job(from)
    }
    const pool = threadPool(threads, 0)
    // The first jobs read the tables and warm up; a page or a second band finds its workers so.
    for await (const _ of pool.run(Array.from({ length: 2 * threads }, (_, i) => job(i * RUNS_A_JOB)))) continue
    const resident = []
    let [swinging, failed, done] = [0, 0, 0]
    const begun = performance.now()
    const spent = process.cpuUsage()
    for await (const { outcome } of pool.run(jobs(), { order: 'completion' })) {
      if (!outcome.ok) throw new Error(outcome.problems[0].what)
      for (const { found } of outcome.value.found) {
        done++
        if (found === null) failed++
        else if (found.swings > 1) swinging++
      }
      if (done >= MEMORY_AT[resident.length] * runs) resident.push(residentBytes())
    }
    const seconds = (performance.now() - begun) / 1000
    const { user, system } = process.cpuUsage(spent)
    const heard = await longestStop(pool, threads, job)
    await pool.close()
    const processor = (user + system) / 1e6
    const cells = [problem.padEnd(7), seconds.toFixed(1).padStart(8), String(targetS).padStart(7), processor.toFixed(1).padStart(14)]
    console.log(
      `${cells.join(' ')} ${((1e6 * seconds) / done).toFixed(0).padStart(13)} ${String(swinging).padStart(10)} ${String(failed).padStart(8)}   ${resident.map((x) => (x / MB).toFixed(0)).join(', ')}`.padEnd(
        104,
      ),
      heard.toFixed(0),
    )
  }
}
