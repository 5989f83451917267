/** `rehearse`: what the room will see, when, and why it ends, with a band. */
import { buildCommand } from '@stricli/core'
import { done, type Outcome } from '@beakertide/basis/problems'
import { drawStrip, drawTraces, htmlPage, rehearsalSheet } from '@beakertide/core/papers'
import type { Rehearsal } from '@beakertide/core/rehearsal'
import type { Prepared } from '@beakertide/demonstration'
import { answerOf } from '../answer.ts'
import { openPrepared } from '../desk.ts'
import { rehearsals } from '../rehearsing.ts'
import type { Door } from '../terminal/door.ts'
import { answerFlags, fileArgument, mechanismFlag, outFlag, vesselFlag, wholeNumber } from './flags.ts'

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

/** Varied runs of a band when nothing is said: the ten-to-ninety limits of 40 runs wander by about a tenth of the band. */
export const USUAL_BAND = '40'
const SVG_WIDTH_PX = 1000
const SVG_STRIP_PX = 80
const SVG_BAND_PX = 120

interface Rehearsed {
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

function writePictures(door: Door, flags: RehearseFlags, r: Rehearsed): readonly string[] {
  const first = r.rehearsals[0]
  const written: string[] = []
  const write = (path: string | undefined, text: () => string): void => {
    if (path === undefined) return
    door.writeText(path, text())
    written.push(path)
  }
  if (first) {
    write(flags.stripSvg, () =>
      drawStrip({
        samples: first.strip,
        turns: first.turns,
        widthPx: SVG_WIDTH_PX,
        heightPx: SVG_STRIP_PX,
        label: `Predicted colour against time, vessel ${first.vessel}`,
      }),
    )
    write(flags.tracesSvg, () =>
      drawTraces({ traces: first.traces, widthPx: SVG_WIDTH_PX, bandPx: SVG_BAND_PX, label: `Predicted traces, vessel ${first.vessel}` }),
    )
  }
  const { title } = r.prepared.demonstration
  write(flags.html, () => htmlPage(title, [rehearsalSheet(title, r.rehearsals, r.prepared.cautions)]))
  return written
}

export const rehearseCommand = buildCommand<RehearseFlags, [string], Door>({
  docs: { brief: 'What the room will see, when, and why it ends, with an honest band' },
  parameters: {
    flags: {
      ...answerFlags,
      ...mechanismFlag,
      ...vesselFlag,
      band: { kind: 'parsed', parse: wholeNumber, brief: 'Varied runs for the band; 0 for none', default: USUAL_BAND, placeholder: 'n' },
      seed: {
        kind: 'parsed',
        parse: wholeNumber,
        brief: 'Seed of the band: the same seed gives the same band',
        default: '1',
        placeholder: 'n',
      },
      stripSvg: outFlag('Write the colour strip of the first vessel as SVG'),
      tracesSvg: outFlag('Write the traces of the first vessel as SVG'),
      html: outFlag('Write the rehearsal sheet as one HTML page'),
    },
    positional: fileArgument,
  },
  func(flags, path) {
    answerOf(this, flags, 'rehearse', path, openRehearsed(this, path, flags), (r, warnings) => {
      const written = writePictures(this, flags, r)
      const { prepared } = r
      const [first, ...others] = r.rehearsals
      return {
        command: 'rehearse',
        file: path,
        cautions: prepared.cautions,
        warnings,
        papers: [rehearsalSheet(prepared.demonstration.title, r.rehearsals, prepared.cautions)],
        result: { title: prepared.demonstration.title, ...first, otherVessels: others, written },
      }
    })
  },
})
