/** `coast`: over two amounts, does it show, how many cycles, which period. */
import { buildCommand } from '@stricli/core'
import { done, type Outcome } from '@beakertide/basis/problems'
import { coastSheet, drawCoast, variedWords } from '@beakertide/core/papers'
import type { Coast } from '@beakertide/core/rehearsal'
import { coastOver } from '@beakertide/demonstration'
import { answerOf, EXIT } from '../answer.ts'
import { atWork } from '../at-work.ts'
import { bookFor } from '../desk.ts'
import type { Door } from '../terminal/door.ts'
import { progressOn } from '../terminal/progress.ts'
import { drawCoastText } from '../terminal/draw-coast.ts'
import { lookOf } from '../terminal/look.ts'
import { writePictures } from '../write.ts'
import { type OpenVessel, openVessel, stepsFlag, textFlag } from './carpet-flags.ts'
import {
  answerFlags,
  anyText,
  countingNumber,
  fileArgument,
  mechanismFlag,
  outFlag,
  pictureFlag,
  threadsFlag,
  vesselFlag,
  wholeNumber,
} from './flags.ts'

interface Flags {
  readonly json: boolean
  readonly plain: boolean
  readonly mechanism?: string
  readonly vessel?: string
  readonly across: string
  readonly acrossFrom?: string
  readonly acrossTo?: string
  readonly acrossSteps?: 'linear' | 'log'
  readonly up: string
  readonly upFrom?: string
  readonly upTo?: string
  readonly upSteps?: 'linear' | 'log'
  readonly squares: number
  readonly finer: number
  readonly most: number
  readonly svg?: string
  readonly out?: string
  readonly threads?: number
}

const SVG_WIDTH_PX = 900
const SVG_HEIGHT_PX = 700
/** Halvings beyond this are finer than any weighing. */
const FINEST = 8

async function openCoast(door: Door, path: string, flags: Flags): Promise<Outcome<OpenVessel & { readonly coast: Coast }>> {
  const open = openVessel(door, path, flags)
  if (!open.ok) return open
  const progress = progressOn(door.process.stderr, () => door.now())
  const coast = await atWork(door, open.value, flags, (day) =>
    coastOver(day, {
      vessel: open.value.vessel,
      x: { what: flags.across, from: flags.acrossFrom, to: flags.acrossTo, steps: flags.acrossSteps },
      y: { what: flags.up, from: flags.upFrom, to: flags.upTo, steps: flags.upSteps },
      coarse: flags.squares,
      halvings: Math.min(FINEST, flags.finer),
      mostRuns: flags.most,
      onPoint: (n) => progress.update(n, flags.most, `${flags.across} and ${flags.up} varied: run (at most)`),
    }),
  )
  progress.finish()
  return coast.ok ? done({ ...open.value, coast: coast.value }, open.warnings) : coast
}

export const coastCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'Over two amounts: does it show, how many cycles, which period, and where it ceases' },
  parameters: {
    flags: {
      ...answerFlags,
      ...mechanismFlag,
      ...vesselFlag,
      across: { kind: 'parsed', parse: anyText, brief: 'Amount along the first axis (as "what" of vary)', placeholder: 'name' },
      acrossFrom: textFlag('Its first value (as of vary)', 'value'),
      acrossTo: textFlag('Its last value', 'value'),
      acrossSteps: stepsFlag('Its steps: linear or log'),
      up: { kind: 'parsed', parse: anyText, brief: 'Amount along the second axis', placeholder: 'name' },
      upFrom: textFlag('Its first value', 'value'),
      upTo: textFlag('Its last value', 'value'),
      upSteps: stepsFlag('Its steps: linear or log'),
      squares: { kind: 'parsed', parse: countingNumber, brief: 'Coarse squares along a side', default: '4', placeholder: 'n' },
      finer: {
        kind: 'parsed',
        parse: wholeNumber,
        brief: 'Times a square at the border is halved, up to 8',
        default: '2',
        placeholder: 'n',
      },
      most: { kind: 'parsed', parse: countingNumber, brief: 'Rehearsals it may make', default: '200', placeholder: 'n' },
      svg: outFlag('Write the coast as SVG'),
      out: pictureFlag('Write the coast as a picture, SVG or PNG by its ending'),
      ...threadsFlag,
    },
    positional: fileArgument,
  },
  async func(flags, path) {
    answerOf(this, flags, 'coast', path, await openCoast(this, path, flags), ({ prepared, coast }, warnings) => {
      const { title } = prepared.demonstration
      const label = `Where it shows, over ${variedWords(coast.x.varied, coast.x.unit)} and ${variedWords(coast.y.varied, coast.y.unit)}`
      const pictures = writePictures(this, [flags.svg, flags.out], () =>
        drawCoast({ coast, widthPx: SVG_WIDTH_PX, heightPx: SVG_HEIGHT_PX, label }),
      )
      if (!pictures.ok) return pictures
      const written = pictures.value
      const book = bookFor(prepared.mechanism)
      return {
        command: 'coast',
        file: path,
        cautions: prepared.cautions,
        warnings,
        book,
        papers: [coastSheet(title, coast, prepared.cautions, book)],
        drawing: drawCoastText(coast, lookOf(this, flags.plain)),
        ...(written.length > 0 ? { last: `Wrote ${written.join(', ')}.` } : {}),
        result: { title, coast, written },
        exit: coast.stopped && coast.runs < flags.most ? EXIT.problems : EXIT.done,
      }
    })
  },
})
