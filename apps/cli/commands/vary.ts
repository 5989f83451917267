/** `vary`: colour strips over one varied amount. */
import { buildCommand } from '@stricli/core'
import { done, type Outcome } from '@beakertide/basis/problems'
import { carpetSheet, drawCarpet, variedWords } from '@beakertide/core/papers'
import type { Carpet } from '@beakertide/core/rehearsal'
import { carpetOver } from '@beakertide/demonstration'
import { answerOf, EXIT } from '../answer.ts'
import { atWork } from '../at-work.ts'
import { bookFor } from '../desk.ts'
import type { Door } from '../terminal/door.ts'
import { drawCarpetText } from '../terminal/draw-carpet.ts'
import { lookOf } from '../terminal/look.ts'
import { progressOn } from '../terminal/progress.ts'
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
} from './flags.ts'

interface Flags {
  readonly json: boolean
  readonly plain: boolean
  readonly mechanism?: string
  readonly vessel?: string
  readonly what: string
  readonly from?: string
  readonly to?: string
  readonly steps?: 'linear' | 'log'
  readonly rows: number
  readonly svg?: string
  readonly out?: string
  readonly threads?: number
}

const SVG_WIDTH_PX = 1000
const SVG_ROW_PX = 30

async function openCarpet(door: Door, path: string, flags: Flags): Promise<Outcome<OpenVessel & { readonly carpet: Carpet }>> {
  const open = openVessel(door, path, flags)
  if (!open.ok) return open
  const progress = progressOn(door.process.stderr, () => door.now())
  const carpet = await atWork(door, open.value, flags, (day) =>
    carpetOver(day, {
      vessel: open.value.vessel,
      range: { what: flags.what, from: flags.from, to: flags.to, steps: flags.steps },
      rows: flags.rows,
      onRow: (n, of) => progress.update(n, of, `${flags.what} varied: row`),
    }),
  )
  progress.finish()
  return carpet.ok ? done({ ...open.value, carpet: carpet.value }, open.warnings) : carpet
}

export const varyCommand = buildCommand<Flags, [string], Door>({
  docs: { brief: 'How the show changes with one amount: colour strips, one below the other' },
  parameters: {
    flags: {
      ...answerFlags,
      ...mechanismFlag,
      ...vesselFlag,
      what: {
        kind: 'parsed',
        parse: anyText,
        brief: 'What to vary: a bottle, "solution/bottle", "pour SOLUTION", temperature, depth, or a rate constant',
        placeholder: 'name',
      },
      from: textFlag('First value: a factor (0.5), "20 mmol/L" in the mix, "15 degC", "5 cm" (default: half, or 10 degrees less)', 'value'),
      to: textFlag('Last value (default: twice, or 10 degrees more)', 'value'),
      steps: stepsFlag('Equal steps (linear) or equal ratios (log)'),
      rows: { kind: 'parsed', parse: countingNumber, brief: 'Strips', default: '9', placeholder: 'n' },
      svg: outFlag('Write the carpet as SVG'),
      out: pictureFlag('Write the carpet as a picture, SVG or PNG by its ending'),
      ...threadsFlag,
    },
    positional: fileArgument,
  },
  async func(flags, path) {
    answerOf(this, flags, 'vary', path, await openCarpet(this, path, flags), ({ prepared, carpet }, warnings) => {
      const { title } = prepared.demonstration
      const label = `Predicted colour against time over ${variedWords(carpet.varied, carpet.unit)}, vessel ${carpet.vessel}`
      const pictures = writePictures(this, [flags.svg, flags.out], () =>
        drawCarpet({ carpet, widthPx: SVG_WIDTH_PX, rowPx: SVG_ROW_PX, label }),
      )
      if (!pictures.ok) return pictures
      const written = pictures.value
      const book = bookFor(prepared.mechanism)
      return {
        command: 'vary',
        file: path,
        cautions: prepared.cautions,
        warnings,
        book,
        papers: [carpetSheet(title, carpet, prepared.cautions, book)],
        drawing: drawCarpetText(carpet, lookOf(this, flags.plain)),
        ...(written.length > 0 ? { last: `Wrote ${written.join(', ')}.` } : {}),
        result: { title, carpet, written },
        exit: carpet.stopped ? EXIT.problems : EXIT.done,
      }
    })
  },
})
