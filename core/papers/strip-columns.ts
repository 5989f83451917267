/** A colour strip cut to a number of columns, its settled stretches, and the part worth a closer look. Shared by all doors. */
import type { StripPoint, StripTurn } from './paper.ts'

export interface StripColumn {
  readonly hex: string
  readonly name: string
}

/** One settled colour between two turns. */
export interface Stretch {
  readonly fromS: number
  readonly toS: number
  readonly name: string
}

interface Share {
  readonly name: string
  seconds: number
  /** Longest sample of this name in the column, and its colour. */
  longest: number
  hex: string
}

/** What one column holds, by name. `k` is the sample that is there when the column begins. */
function sharesOf(samples: readonly StripPoint[], k: number, fromS: number, toS: number): readonly Share[] {
  const byName = new Map<string, Share>()
  for (let j = k; j < samples.length && (j === k || samples[j]!.timeS < toS); j++) {
    const s = samples[j]!
    const held = Math.min(samples[j + 1]?.timeS ?? toS, toS) - Math.max(s.timeS, fromS)
    const share = byName.get(s.name) ?? { name: s.name, seconds: 0, longest: -1, hex: s.hex }
    share.seconds += held
    if (held > share.longest) {
      share.longest = held
      share.hex = s.hex
    }
    byName.set(s.name, share)
  }
  return [...byName.values()]
}

/**
 * `count` equal columns over the strip. Each takes one of the colours that are there in its time (mixing them would show a
 * colour that nobody sees): the one that is most behind of its share of the time so far. So a short colour that comes back
 * every twenty seconds keeps its share however wide the columns are. Empty for fewer than two samples or no time between them.
 */
export function stripColumns(samples: readonly StripPoint[], count: number): readonly StripColumn[] {
  const first = samples[0]
  const last = samples.at(-1)
  if (!first || !last || !(last.timeS > first.timeS) || count < 1) return []
  const width = (last.timeS - first.timeS) / count
  const owed = new Map<string, number>()
  const out: StripColumn[] = []
  let k = 0
  for (let i = 0; i < count; i++) {
    const from = first.timeS + i * width
    while (k + 1 < samples.length && samples[k + 1]!.timeS <= from) k++
    const shares = sharesOf(samples, k, from, from + width)
    for (const s of shares) owed.set(s.name, (owed.get(s.name) ?? 0) + s.seconds)
    const chosen = shares.reduce((a, b) => (owed.get(b.name)! > owed.get(a.name)! ? b : a))
    owed.set(chosen.name, owed.get(chosen.name)! - width)
    out.push({ hex: chosen.hex, name: chosen.name })
  }
  return out
}

/** The settled colours along the strip: between turns, what the turns lead from and to; without turns the first colour throughout. */
export function stretchesOf(samples: readonly StripPoint[], turns: readonly StripTurn[]): readonly Stretch[] {
  const first = samples[0]
  const last = samples.at(-1)
  if (!first || !last) return []
  const within = turns.filter((t) => t.timeS > first.timeS && t.timeS < last.timeS)
  if (within.length === 0)
    return [{ fromS: first.timeS, toS: last.timeS, name: turns.findLast((t) => t.timeS <= first.timeS)?.to ?? first.name }]
  return [
    { fromS: first.timeS, toS: within[0]!.timeS, name: within[0]!.from },
    ...within.map((t, i) => ({ fromS: t.timeS, toS: within[i + 1]?.timeS ?? last.timeS, name: t.to })),
  ]
}

/** A strip with more turns than this is drawn once more, closer; so many turns the closer strip shows. */
const CLOSER_ABOVE = 8
const TURNS_CLOSE = 8

/** The first turns of a long train, with a little before them; null when the strip can be read as it is. */
export function closerLook(
  samples: readonly StripPoint[],
  turns: readonly StripTurn[],
): { readonly samples: readonly StripPoint[]; readonly turns: readonly StripTurn[] } | null {
  const last = samples.at(-1)
  if (!last || turns.length <= CLOSER_ABOVE) return null
  const shown = turns.slice(0, TURNS_CLOSE)
  const toS = (shown.at(-1)!.timeS + turns[TURNS_CLOSE]!.timeS) / 2
  const beforeS = Math.max(samples[0]!.timeS, shown[0]!.timeS - 0.1 * (toS - shown[0]!.timeS))
  const start = Math.max(
    0,
    samples.findLastIndex((s) => s.timeS <= beforeS),
  )
  const inside = samples.slice(start).filter((s) => s.timeS < toS)
  const end = inside.at(-1)
  if (!end) return null
  const cut = inside.map((s, i) => (i === 0 ? { ...s, timeS: beforeS } : s))
  return { samples: [...cut, { ...end, timeS: toS }], turns: shown }
}
