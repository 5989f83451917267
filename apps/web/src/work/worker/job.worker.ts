/** A worker of one more core: answers jobs for the worker of long work, which started it and ends it. */
import { expose } from 'comlink'
import { createJobRunner, type Job } from '@beakertide/demonstration'
import { factsUrl } from './facts-url.ts'
import { houseAt } from './house.ts'

const run = houseAt(factsUrl).then((house) => createJobRunner(house.facts))

expose({ run: async (job: Job) => (await run)(job) })
