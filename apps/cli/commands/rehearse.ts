/** `rehearse`: what the room will see, when, and why it ends, with a band. */
import { buildCommand } from '@stricli/core'
import { done, gather, type Outcome } from '@beakertide/basis/problems'
import { drawStrip, drawTraces, htmlPage, rehearsalSheet } from '@beakertide/core/papers'
import type { Rehearsal } from '@beakertide/core/rehearsal'
import { answerOf } from '../answer.ts'
import { bookFor, openReady, type ReadyDay } from '../desk.ts'
import { imprint } from '../imprint.ts'
import { rehearsals, withBands } from '../rehearsing.ts'
import type { Door } from '../terminal/door.ts'
import { writeOrRefuse, writePictures } from '../write.ts'
import { answerFlags, bandFlags, fileArgument, mechanismFlag, outFlag, pictureFlag, threadsFlag, vesselFlag } from './flags.ts'

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
  readonly out?: string
  readonly threads?: number
}

const SVG_WIDTH_PX = 1000
const SVG_STRIP_PX = 80
const SVG_BAND_PX = 120

export interface Rehearsed extends ReadyDay {
  readonly rehearsals: readonly Rehearsal[]
}

/** The document made ready and rehearsed, without bands. */
export function openRehearsed(door: Door, path: string, flags: Pick<RehearseFlags, 'mechanism' | 'vessel'>): Outcome<Rehearsed> {
  const ready = openReady(door, path, flags.mechanism)
  if (!ready.ok) return ready
  const run = rehearsals(door, ready.value.prepared, flags)
  if (!run.ok) return run
  return done({ ...ready.value, rehearsals: run.value }, ready.warnings)
}

/** The same with bands. */
export async function openBanded(
  door: Door,
  path: string,
  flags: Pick<RehearseFlags, 'mechanism' | 'vessel' | 'band' | 'seed' | 'threads'>,
): Promise<Outcome<Rehearsed>> {
  const rehearsed = openRehearsed(door, path, flags)
  if (!rehearsed.ok) return rehearsed
  const banded = await withBands(door, rehearsed.value, rehearsed.value.rehearsals, flags)
  return banded.ok ? done({ ...rehearsed.value, rehearsals: banded.value }, rehearsed.warnings) : banded
}

/** Writes the pictures asked for; gives their paths. */
function writeAsked(door: Door, path: string, flags: RehearseFlags, r: Rehearsed): Outcome<readonly string[]> {
  const [first] = r.rehearsals
  const { title } = r.prepared.demonstration
  const sheet = () => rehearsalSheet(title, r.rehearsals, r.prepared.cautions, bookFor(r.prepared.mechanism))
  const strip = (): string =>
    drawStrip({
      samples: first!.strip,
      turns: first!.turns,
      widthPx: SVG_WIDTH_PX,
      heightPx: SVG_STRIP_PX,
      label: `Predicted colour against time, vessel ${first!.vessel}`,
    })
  const traces = (): string =>
    drawTraces({
      traces: first!.traces,
      widthPx: SVG_WIDTH_PX,
      bandPx: SVG_BAND_PX,
      label: `Predicted traces, vessel ${first!.vessel}`,
    })
  const drawn =
    first === undefined ? [] : [writePictures(door, [flags.stripSvg, flags.out], strip), writePictures(door, [flags.tracesSvg], traces)]
  const page = flags.html === undefined ? [] : [writeOrRefuse(door, flags.html, htmlPage(title, [sheet()], imprint(door, path)))]
  const written = gather(drawn)
  const paged = gather(page)
  if (!written.ok) return written
  return paged.ok ? done([...written.value.flat(), ...paged.value]) : paged
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
      out: pictureFlag('Write the colour strip of the first vessel as a picture, SVG or PNG by its ending'),
      ...threadsFlag,
    },
    positional: fileArgument,
  },
  async func(flags, path) {
    answerOf(this, flags, 'rehearse', path, await openBanded(this, path, flags), (r, warnings) => {
      const written = writeAsked(this, path, flags, r)
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
