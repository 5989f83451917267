/** What runs in each worker thread: jobs of the pool, one after the other. */
import { Tinypool } from 'tinypool'
import { createJobRunner } from '@beakertide/demonstration'
import { houseFacts } from './desk.ts'
import type { ThreadTask } from './thread-pool.ts'

const flags = new Int32Array((Tinypool.workerData as { readonly flags: SharedArrayBuffer }).flags)
let slot = 0
const run = createJobRunner(houseFacts(), { shouldStop: () => Atomics.load(flags, slot) !== 0 })

export default function answer(task: ThreadTask): ReturnType<typeof run> {
  slot = task.slot
  return run(task.job)
}
