// A changed recipe to the colour strip at display accuracy, warm, in a worker with nothing else running: the work behind a slider.
//   npm run bench -- --look
import { once } from 'node:events'
import { readFileSync } from 'node:fs'
import { isMainThread, parentPort, Worker } from 'node:worker_threads'
import { facts } from '@beakertide/data'
import { openDocument, prepareDocument, quickLook } from '@beakertide/demonstration'

const TARGET_MS = 16
const WARM = 60
const LOOKS = 300
/** The 20-species oscillator over ten minutes, and the other shipped examples as they are. */
const NAMES = ['tide-in-a-jar', 'slow-fuse', 'sudden-night', 'amber-beat']

function timesOf(name) {
  const house = { day: facts.day(), mechanisms: facts.mechanisms(), mechanismDefaults: facts.mechanismDefaults() }
  const text = readFileSync(new URL(`../examples/right/${name}.yaml`, import.meta.url), 'utf8').replace(
    'rehearse for: 15 min',
    'rehearse for: 10 min',
  )
  const opened = openDocument(text, name, () => ({ ok: false, why: 'no other file' }), house)
  const prepared = opened.ok ? prepareDocument(opened.value, house) : opened
  if (!prepared.ok) throw new Error(prepared.problems.map((p) => p.what).join('; '))
  const { poured, makeUp } = prepared.value
  const [first] = makeUp.portions
  const times = []
  for (let i = 0; i < WARM + LOOKS; i++) {
    const changes = {
      amounts: { [`${first.solution}/${first.bottle}`]: 1 + 0.1 * Math.sin(i / 7 + 0.1) },
      celsius: null,
      depthCm: null,
      constants: {},
    }
    const from = performance.now()
    const look = quickLook(prepared.value, poured[0].id, changes, house.day)
    const took = performance.now() - from
    if (!look.ok) throw new Error(look.problems.map((p) => p.what).join('; '))
    if (i >= WARM) times.push(took)
  }
  return times.sort((a, b) => a - b)
}

/** Prints the table; the worker has nothing else to do. */
export async function looks() {
  console.log(`${LOOKS} looks after ${WARM} warm ones, ms; target ${TARGET_MS}`)
  console.log('example'.padEnd(18) + ['least', 'median', '95 in 100', 'worst'].map((w) => w.padStart(10)).join(''))
  const worker = new Worker(new URL(import.meta.url))
  worker.on('message', ({ name, times }) => {
    const at = (share) => times[Math.min(times.length - 1, Math.floor(times.length * share))]
    console.log(name.padEnd(18) + [times[0], at(0.5), at(0.95), times.at(-1)].map((t) => t.toFixed(1).padStart(10)).join(''))
  })
  await once(worker, 'exit')
}

if (!isMainThread) for (const name of NAMES) parentPort.postMessage({ name, times: timesOf(name) })
