/** A colour strip small enough for a list: runs of equal colour, and what a person would say of it. Plain data, survives JSON. */

/** What a picture is made of; a rehearsal or a quick look is one. */
export interface Pictured {
  readonly vessel: string
  readonly startS: number
  readonly inductionS: number | null
  readonly cycles: number
  readonly endS: number | null
  readonly stillGoing: boolean
  readonly strip: readonly { readonly timeS: number; readonly hex: string; readonly name: string }[]
  readonly turns: readonly { readonly timeS: number; readonly to: string }[]
}

export interface StripPicture {
  readonly vessel: string
  /** Ends of the strip, s on the document's clock. */
  readonly fromS: number
  readonly toS: number
  /** Columns of one colour side by side: how many, and which. */
  readonly runs: readonly (readonly [count: number, hex: string])[]
  /** The first few colours in the order in which they are seen. */
  readonly colours: readonly string[]
  readonly inductionS: number | null
  readonly cycles: number
  /** Last turn, s from the pour that sets it off; null when nothing is seen. */
  readonly lastsS: number | null
  readonly stillGoing: boolean
}

/** As many columns as a strip in a list has pixels, about. */
const COLUMNS = 240
/** So many colours are named. */
const NAMED = 6

export function pictureOf(run: Pictured): StripPicture {
  const { strip } = run
  const fromS = strip[0]?.timeS ?? run.startS
  const toS = strip.at(-1)?.timeS ?? fromS
  const runs: [number, string][] = []
  let sample = 0
  for (let column = 0; column < COLUMNS && strip.length > 0; column++) {
    const timeS = fromS + ((column + 0.5) / COLUMNS) * (toS - fromS)
    while (sample + 1 < strip.length && (strip[sample + 1]?.timeS ?? 0) <= timeS) sample++
    const hex = strip[sample]?.hex ?? ''
    const last = runs.at(-1)
    if (last && last[1] === hex) last[0]++
    else runs.push([1, hex])
  }
  const first = strip.findLast((s) => s.timeS <= run.startS)?.name ?? strip[0]?.name
  const colours = [...(first === undefined ? [] : [first]), ...run.turns.map((turn) => turn.to)]
  return {
    vessel: run.vessel,
    fromS,
    toS,
    runs,
    colours: colours.slice(0, NAMED),
    inductionS: run.inductionS,
    cycles: run.cycles,
    lastsS: run.endS === null ? null : run.endS - run.startS,
    stillGoing: run.stillGoing,
  }
}
