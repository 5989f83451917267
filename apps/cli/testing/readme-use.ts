import { rehearseVessel } from '@beakertide/demonstration'
import { dayFacts, openPrepared, realDoor } from 'beakertide'

const day = openPrepared(realDoor(), 'examples/right/sudden-night.yaml')
if (!day.ok) throw new Error(day.problems.map((p) => `${p.where}: ${p.what}`).join('\n'))
for (const caution of day.value.cautions.list) console.log(caution.about, caution.what) // danger first
for (const portion of day.value.makeUp.portions) console.log(portion.written, portion.substanceName)

const course = rehearseVessel(day.value, 'beaker', dayFacts())
if (course.ok) console.log(course.value.turns, course.value.cause)
