/**
 * Turns: the colour changes of a strip that an eye can see, as from one settled colour to the next.
 *
 * Two thresholds, both our own choice, no source. A change counts from `turnDeltaE` on, far above the 1 to 2 ΔE₀₀ of two
 * papers side by side, because nobody sees the colours of before and after at once. A colour is one and the same
 * within `restDeltaE`. A settled colour is
 *   - where the colour turns back by at least `turnDeltaE`, or bends by as much into another hue and stays for `restS` (a sudden
 *     blue that runs through violet in a blink does not settle there, nor does a dye that only deepens); or
 *   - where, on a straight way, it rests: stays within `restDeltaE` for a good part of the time the whole way takes, at least
 *     `restS`, with a full turn before and after.
 * A drift of any slowness counts once, when its whole way is a turn. The turns are those of the course, not of its sampling, once
 * the changes themselves are sampled (tested); the very shade, and so the word, of a colour passed quickly may still differ.
 *
 * Order of work: thin the strip to a path; find where it turns back (pivots.ts); move each pivot to the colour that is
 * remembered; put in rests and bends between; take out what no longer counts; move bends to their knee.
 */
import { ciede2000 } from '@beakertide/basis/colour'
import { invariant } from '@beakertide/basis/problems'
import { ColourPath, type SettledColour, type TurnRules } from './colour-path.ts'
import { findPivots } from './pivots.ts'
import type { StripSample, Turn } from './rehearsal.ts'

export const usualTurnRules: TurnRules = { turnDeltaE: 8, restDeltaE: 1.5, restS: 0.5 }

/** turns[i] leads from settled[i] to settled[i + 1]. */
export interface SeenTurns {
  readonly turns: readonly Turn[]
  readonly settled: readonly SettledColour[]
}

/** The turns of a strip. */
export function turnsOfStrip(strip: readonly StripSample[], rules: TurnRules = usualTurnRules): SeenTurns {
  return findTurns(
    strip.map((sample) => sample.timeS),
    strip.flatMap((sample) => sample.lab),
    rules,
  )
}

/**
 * The turns of colours along time. `timesS` must not descend (two equal times are a jump, as at a pour); `labs` holds
 * three numbers a sample. No samples: no settled colour and no turn.
 */
export function findTurns(timesS: ArrayLike<number>, labs: ArrayLike<number>, rules: TurnRules = usualTurnRules): SeenTurns {
  invariant(labs.length === 3 * timesS.length, 'three Lab numbers a sample')
  if (timesS.length === 0) return { turns: [], settled: [] }
  const path = new ColourPath(timesS, labs, rules)
  const points = path.thinned()
  const bends = findPivots(points, (a, b) => path.distance(a, b), {
    goesBack: rules.turnDeltaE,
    isSeen: (k) => path.stay(k).seconds >= rules.restS,
  })
  const whole = path.withAllSettled(path.atRests(path.trimmed(bends), points), points)
  const pivots = path.pruned(path.atKnees(path.pruned(whole), points))
  const settled = named(pivots.map((k) => path.settledAt(k)))
  const turns = settled.slice(1).map((to, i): Turn => {
    const from = settled[i]!
    return {
      timeS: path.midChange(pivots[i]!, pivots[i + 1]!, from.lab, to.lab),
      from: from.name,
      to: to.name,
      deltaE: ciede2000(from.lab, to.lab),
    }
  })
  return { turns, settled }
}

/** Adds "paler" or "deeper" where two neighbours have the same word. */
function named(colours: readonly SettledColour[]): readonly SettledColour[] {
  return colours.map((colour, i) => {
    const before = colours[i - 1]
    if (before === undefined || before.name !== colour.name) return colour
    return { ...colour, name: `${colour.lab[0] > before.lab[0] ? 'paler' : 'deeper'} ${colour.name}` }
  })
}
