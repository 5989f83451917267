/** A colour strip told in words, for whoever does not see it. */
import { stretchesOf } from '@beakertide/core/papers'
import { t } from '../words/index.ts'
import { colourWord } from './colour-words.ts'
import type { DrawnCourse } from './paint.ts'
import { spokenTime } from './times.ts'

/** More than these are counted: a long row of colours by ear is no picture. */
const TOLD = 6

/** "colourless from 0 s; black from 1 min 2 s"; empty for a strip without samples. */
export function stripWords(course: DrawnCourse): string {
  const all = stretchesOf(course.strip, course.turns)
  const told = all.slice(0, TOLD).map((s) => t('rehearsal.stretch', { colour: colourWord(s.name), time: spokenTime(s.fromS) }))
  const more = all.length - told.length
  return [...told, ...(more > 0 ? [t('rehearsal.stretchesMore', { n: more })] : [])].join('; ')
}
