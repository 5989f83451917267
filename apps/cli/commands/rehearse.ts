/** `rehearse`: what the room will see, when, and why it ends, with a band. */
import { buildCommand } from '@stricli/core'
import { done, gather, type Outcome } from '@beakertide/basis/problems'
import { drawStrip, drawTraces, htmlPage, rehearsalSheet } from '@beakertide/core/papers'
import type { Rehearsal } from '@beakertide/core/rehearsal'
import type { Prepared } from '@beakertide/demonstration'
import { answerOf } from '../answer.ts'
import { bookFor, openPrepared } from '../desk.ts'
import { imprint } from '../imprint.ts'
import { rehearsals } from '../rehearsing.ts'
import type { Door } from '../terminal/door.ts'
import { writeOrRefuse } from '../write.ts'
import { answerFlags, bandFlags, fileArgument, mechanismFlag, outFlag, vesselFlag } from './flags.ts'

export interface RehearseFlags {
  readonly json: boolean
  readonly plain: boolean
  readonly mechanism?: string
  readonly vessel?: string
  readonly band: number
  readonly seed: number
  readonly stripSvg?: string
  readonly tracesSvg?: string
  readonly html?: string
}

const SVG_WIDTH_PX = 1000
const SVG_STRIP_PX = 80
const SVG_BAND_PX = 120

export interface Rehearsed {
  readonly prepared: Prepared
  readonly rehearsals: readonly Rehearsal[]
}

/** The document made ready and rehearsed. */
export function openRehearsed(
  door: Door,
  path: string,
  flags: Pick<RehearseFlags, 'mechanism' | 'vessel' | 'band' | 'seed'>,
): Outcome<Rehearsed> {
  const prepared = openPrepared(door, path, flags.mechanism)
  if (!prepared.ok) return prepared
  const run = rehearsals(door, prepared.value, flags)
  if (!run.ok) return run
  return done({ prepared: prepared.value, rehearsals: run.value }, prepared.warnings)
}

/** Writes the pictures asked for; gives their paths. */
function writePictures(door: Door, path: string, flags: RehearseFlags, r: Rehearsed): Outcome<readonly string[]> {
  const [first] = r.rehearsals
  const { title } = r.prepared.demonstration
  const sheet = () => rehearsalSheet(title, r.rehearsals, r.prepared.cautions, bookFor(r.prepared.mechanism))
  const wishes: readonly (readonly [string | undefined, () => string])[] = [
    ...(first
      ? ([
          [
            flags.stripSvg,
            () =>
              drawStrip({
                samples: first.strip,
                turns: first.turns,
                widthPx: SVG_WIDTH_PX,
                heightPx: SVG_STRIP_PX,
                label: `Predicted colour against time, vessel ${first.vessel}`,
              }),
          ],
          [
            flags.tracesSvg,
            () =>
              drawTraces({
                traces: first.traces,
                widthPx: SVG_WIDTH_PX,
                bandPx: SVG_BAND_PX,
                label: `Predicted traces, vessel ${first.vessel}`,
              }),
          ],
        ] as const)
      : []),
    [flags.html, () => htmlPage(title, [sheet()], imprint(door, path))],
  ]
  return gather(wishes.flatMap(([to, text]) => (to === undefined ? [] : [writeOrRefuse(door, to, text())])))
}

export const rehearseCommand = buildCommand<RehearseFlags, [string], Door>({
  docs: { brief: 'What the room will see, when, and why it ends, with an honest band' },
  parameters: {
    flags: {
      ...answerFlags,
      ...mechanismFlag,
      ...vesselFlag,
      ...bandFlags,
      stripSvg: outFlag('Write the colour strip of the first vessel as SVG'),
      tracesSvg: outFlag('Write the traces of the first vessel as SVG'),
      html: outFlag('Write the rehearsal sheet as one HTML page'),
    },
    positional: fileArgument,
  },
  func(flags, path) {
    answerOf(this, flags, 'rehearse', path, openRehearsed(this, path, flags), (r, warnings) => {
      const written = writePictures(this, path, flags, r)
      if (!written.ok) return written
      const { prepared } = r
      const { title } = prepared.demonstration
      const [first, ...others] = r.rehearsals
      return {
        command: 'rehearse',
        file: path,
        cautions: prepared.cautions,
        warnings,
        book: bookFor(prepared.mechanism),
        papers: [rehearsalSheet(title, r.rehearsals, prepared.cautions, bookFor(prepared.mechanism))],
        ...(written.value.length > 0 ? { last: `Wrote ${written.value.join(', ')}.` } : {}),
        result: { title, ...first, otherVessels: others, written: written.value },
      }
    })
  },
})
