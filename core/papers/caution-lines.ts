/** Cautions in the order and the words of print: what really happens here first, sentences that end, equal cautions once. */
import { type Caution, type Cautions, isInForce, type Severity } from '../cautions/index.ts'
import type { Block, DangerLine } from './paper.ts'

/** How bad, in words. */
export const GRADE_WORDS: Readonly<Record<Severity, string>> = {
  4: 'Can kill or maim',
  3: 'Lasting harm',
  2: 'Care',
  1: 'Note',
}

/** From this severity on a caution is printed in full everywhere. */
export const GRAVE_FROM: Severity = 3

/** Places in the order in which they are met at the bench; the last one is met only if a whole bottle is cleared away. */
const PLACES: readonly RegExp[] = [
  /^(\d+ )?vessels? /,
  /^leftovers of /,
  /^solution /,
  /^one jug/,
  /^bottle /,
  /^the bottles,? /,
  /^one crate /,
  /^surplus /,
]
const ONLY_IF = /^surplus /
const NEAT = /^the bottles, /

/** The text as a sentence: its end is marked, its first letter large when `starts`. */
export function sentence(text: string, starts = true): string {
  const t = text.trim()
  if (t === '') return ''
  const ended = /[.!?]["')\]]?$/.test(t) ? t : `${t}.`
  return starts ? ended.charAt(0).toUpperCase() + ended.slice(1) : ended
}

const placeRank = (about: string): number => {
  const at = PLACES.findIndex((p) => p.test(about))
  return at < 0 ? PLACES.length - 1 : at
}

function lineOf(c: Caution): DangerLine {
  const control = c.control ? ` Stated control: ${sentence(c.control)}` : ''
  const onlyIf = c.hypothetical === true || ONLY_IF.test(c.about)
  return {
    severity: c.severity,
    refused: isInForce(c),
    onlyIf,
    ...(onlyIf && NEAT.test(c.about) ? { neat: true as const } : {}),
    about: c.about,
    what: sentence(c.what, false),
    instead: `${sentence(c.instead)}${control}`.trim(),
    ...(c.control && !isInForce(c) ? { controlled: true as const } : {}),
  }
}

/** Refusals, then what really happens by falling severity, then what holds only if; within one severity the vessel first. */
export function dangerLines(cautions: readonly Caution[]): readonly DangerLine[] {
  const lines = cautions.map(lineOf)
  const group = (l: DangerLine): number => (l.refused ? 0 : l.severity < GRAVE_FROM ? 3 : l.onlyIf ? 2 : 1)
  const sorted = [...lines].sort((a, b) => group(a) - group(b) || b.severity - a.severity || placeRank(a.about) - placeRank(b.about))
  const merged = new Map<string, DangerLine>()
  for (const l of sorted) {
    // "vessel "a"" in a sentence of its own would be lost when merged, so only equal sentences are.
    const key = [l.severity, l.refused, l.onlyIf, l.neat, l.what, l.instead].join('|')
    const met = merged.get(key)
    if (!met) merged.set(key, l)
    else if (!met.about.split(' and ').includes(l.about)) merged.set(key, { ...met, about: `${met.about} and ${l.about}` })
  }
  return [...merged.values()]
}

/** Lines of a danger block that stand under one heading. */
export interface DangerSection {
  readonly title: string
  readonly lines: readonly DangerLine[]
  /** What is grave is printed line by line in full; the rest may be set smaller. */
  readonly isGrave: boolean
}

/** Lines under their headings in the order of print, empty sections left out. Decided by what the lines hold, so that they may be in any language. */
export function dangerSections(lines: readonly DangerLine[]): readonly DangerSection[] {
  const grave = lines.filter((l) => l.refused || l.severity >= GRAVE_FROM)
  const isWorst = (l: DangerLine): boolean => l.refused || l.severity === 4
  const here = grave.filter((l) => !l.onlyIf)
  const onlyIf = grave.filter((l) => l.onlyIf)
  return [
    { title: GRADE_WORDS[4], lines: here.filter(isWorst), isGrave: true },
    { title: GRADE_WORDS[3], lines: here.filter((l) => !isWorst(l)), isGrave: true },
    { title: 'Only if the bottles are poured together as they are', lines: onlyIf.filter((l) => l.neat === true), isGrave: true },
    { title: 'Only if surplus is cleared away with these reagents', lines: onlyIf.filter((l) => l.neat !== true), isGrave: true },
    { title: GRADE_WORDS[2], lines: lines.filter((l) => !grave.includes(l)), isGrave: false },
  ].filter((s) => s.lines.length > 0)
}

/** The danger block that heads every paper. `more`: cautions of a later room, such as those of clearing. */
export function dangerBlock(cautions: Cautions, more: readonly Caution[] = []): Extract<Block, { block: 'danger' }> {
  return { block: 'danger', lines: dangerLines([...cautions.list, ...more]), standing: cautions.standing }
}
