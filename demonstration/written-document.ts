/**
 * A document as it is written, for forms: every value the text of its place, '' where nothing stands, the short ways written out. It
 * judges nothing, so a form shows what stands there also while it is wrong; `parseDemonstration` judges.
 */
import { type Outcome, done } from '@beakertide/basis/problems'
import { readTree, type Tree } from '@beakertide/basis/text'
import { pourParts, targetOf } from './short-ways.ts'

export interface WrittenPour {
  readonly volume: string
  readonly pour: string
  readonly at: string
  readonly temperature: string
}
export interface WrittenVessel {
  readonly id: string
  readonly holds: string
  readonly depth: string
  readonly stirred: string
  readonly count: string
  readonly like: string
  readonly startsAt: string
  readonly closed: string
  readonly shaken: string
  /** Solutions or bottles that stood in it before; empty: none. */
  readonly heldBefore: readonly string[]
  /** Null: it has none of its own (it may be like another). */
  readonly pours: readonly WrittenPour[] | null
}
export interface WrittenIngredient {
  readonly bottle: string
  readonly way: 'in solution' | 'in the mix' | 'mass' | 'volume'
  readonly amount: string
  readonly weighed: string
  readonly measured: string
}
export interface WrittenSolution {
  readonly id: string
  readonly make: string
  readonly temperature: string
  readonly storedAt: string
  readonly ingredients: readonly WrittenIngredient[]
}
export interface WrittenBottleFields {
  readonly id: string
  /** Keys under its name with one value each. */
  readonly fields: Readonly<Record<string, string>>
  /** Keys of its assay; null: none. */
  readonly assay: Readonly<Record<string, string>> | null
}
export interface WrittenDocument {
  readonly title: string
  readonly story: string
  readonly reaction: string
  readonly room: { readonly temperature: string; readonly volume: string; readonly airChanges: string; readonly audience: string }
  readonly bottles: readonly WrittenBottleFields[]
  readonly solutions: readonly WrittenSolution[]
  readonly vessels: readonly WrittenVessel[]
  readonly light: string
  readonly wantedLength: string
  readonly rehearseFor: string
  readonly tools: { readonly balance: string; readonly glass: string }
  readonly found: readonly string[]
}

const at = (tree: Tree | undefined, key: string): Tree | undefined =>
  tree?.kind === 'map' ? tree.entries.find((e) => e.key === key)?.value : undefined
const textAt = (tree: Tree | undefined, key: string): string => textOf(at(tree, key))
const textOf = (tree: Tree | undefined): string => (tree?.kind === 'scalar' && !tree.isEmpty ? tree.text.trim() : '')
const entriesAt = (tree: Tree | undefined, key: string): readonly { readonly key: string; readonly value: Tree }[] => {
  const found = at(tree, key)
  return found?.kind === 'map' ? found.entries : []
}
/** Values that are one text each. */
const textsOf = (tree: Tree | undefined): Readonly<Record<string, string>> =>
  Object.fromEntries(
    (tree?.kind === 'map' ? tree.entries : []).flatMap((e) => (e.value.kind === 'scalar' ? [[e.key, textOf(e.value)] as const] : [])),
  )

function bottle({ key, value }: { readonly key: string; readonly value: Tree }): WrittenBottleFields {
  if (value.kind === 'scalar') return { id: key, fields: { substance: textOf(value) }, assay: null }
  const assay = at(value, 'assay')
  return { id: key, fields: textsOf(value), assay: assay === undefined ? null : textsOf(assay) }
}

const WAYS = ['in solution', 'in the mix', 'mass', 'volume'] as const

function ingredient({ key, value }: { readonly key: string; readonly value: Tree }): WrittenIngredient {
  if (value.kind !== 'map') {
    const amount = textOf(value)
    return { bottle: key, way: targetOf(amount), amount, weighed: '', measured: '' }
  }
  const way = WAYS.find((w) => at(value, w) !== undefined) ?? 'in solution'
  return { bottle: key, way, amount: textAt(value, way), weighed: textAt(value, 'weighed'), measured: textAt(value, 'measured') }
}

function pour(value: Tree): WrittenPour {
  if (value.kind === 'map')
    return {
      volume: textAt(value, 'volume'),
      pour: textAt(value, 'pour'),
      at: textAt(value, 'at'),
      temperature: textAt(value, 'temperature'),
    }
  const parts = pourParts(textOf(value))
  return { volume: parts?.volume ?? textOf(value), pour: parts?.solution ?? '', at: parts?.at ?? '', temperature: '' }
}

/** One name, or a list of them. */
const namesOf = (tree: Tree | undefined): readonly string[] =>
  (tree?.kind === 'list' ? tree.items : tree === undefined ? [] : [tree]).map(textOf).filter((name) => name !== '')

function vessel({ key, value }: { readonly key: string; readonly value: Tree }): WrittenVessel {
  const pours = at(value, 'pours')
  return {
    id: key,
    holds: textAt(value, 'holds'),
    depth: textAt(value, 'depth'),
    stirred: textAt(value, 'stirred'),
    count: textAt(value, 'count'),
    like: textAt(value, 'like'),
    startsAt: textAt(value, 'starts at'),
    closed: textAt(value, 'closed'),
    shaken: textAt(value, 'shaken'),
    heldBefore: namesOf(at(value, 'held before')),
    pours: pours?.kind === 'list' ? pours.items.map(pour) : null,
  }
}

/** Refuses only what is no YAML. */
export function writtenDocument(text: string): Outcome<WrittenDocument> {
  const read = readTree(text, 'document')
  if (!read.ok) return read
  const tree = read.value
  const room = at(tree, 'room')
  const tools = at(tree, 'tools')
  return done({
    title: textAt(tree, 'title'),
    story: textAt(tree, 'story'),
    reaction: textAt(tree, 'reaction'),
    room: {
      temperature: textAt(room, 'temperature'),
      volume: textAt(room, 'volume'),
      airChanges: textAt(room, 'air changes'),
      audience: textAt(room, 'audience'),
    },
    bottles: entriesAt(tree, 'bottles').map(bottle),
    solutions: entriesAt(tree, 'solutions').map((e) => ({
      id: e.key,
      make: textAt(e.value, 'make'),
      temperature: textAt(e.value, 'temperature'),
      storedAt: textAt(e.value, 'stored at'),
      ingredients: entriesAt(e.value, 'with').map(ingredient),
    })),
    vessels: entriesAt(tree, 'vessels').map(vessel),
    light: textAt(at(tree, 'view'), 'light'),
    wantedLength: textAt(at(tree, 'wanted'), 'length'),
    rehearseFor: textAt(tree, 'rehearse for'),
    tools: { balance: textAt(tools, 'balance'), glass: textAt(tools, 'glass') },
    found: entriesAt(tree, 'found').map((e) => e.key),
  })
}
