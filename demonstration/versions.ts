/** The version of a document, and the way from older ones to this. */
import type { Tree, TreeMap } from '@beakertide/basis/text'
import { entry } from '@beakertide/basis/text'
import { type Notes, report, short } from './fields.ts'

/** The version this program writes and reads. */
export const currentVersion = 1

/** Turns a document of version `from` into one of version `from + 1`; each comes with a test that holds an old file. */
export interface Migration {
  readonly from: number
  readonly change: (document: TreeMap) => TreeMap
}

/** None yet: version 1 is the first. */
export const migrations: readonly Migration[] = []

/** The document as one of the current version, or null with a problem. */
export function upToDate(
  tree: Tree,
  notes: Notes,
  known: readonly Migration[] = migrations,
  current: number = currentVersion,
): TreeMap | null {
  if (tree.kind !== 'map') {
    const met = tree.kind === 'list' ? 'a list' : tree.isEmpty ? 'nothing' : `"${short(tree.text)}"`
    report(
      notes,
      'not-a-demonstration',
      { where: 'document', span: tree.span },
      `a demonstration is a map of keys and values; met ${met}`,
      `begin with "beakertide: ${current}" and "title: …", one key a line`,
    )
    return null
  }
  const version = entry(tree, 'beakertide')
  if (!version) {
    report(
      notes,
      'version-missing',
      { where: 'document', span: tree.span },
      '"beakertide" is missing: the version of the document',
      `write "beakertide: ${current}" in the first line`,
    )
    return tree
  }
  const text = version.value.kind === 'scalar' ? version.value.text.trim() : ''
  const at = { where: 'beakertide', span: version.value.span }
  if (!/^\d{1,6}$/.test(text) || Number(text) < 1) {
    report(notes, 'version-unreadable', at, 'the version of a document is a whole number', `write "beakertide: ${current}"`)
    return null
  }
  if (Number(text) > current) {
    report(
      notes,
      'version-newer',
      at,
      `this document is of version ${text}; this program reads versions up to ${current}`,
      `open it with a newer Beakertide, or write it again in version ${current}`,
    )
    return null
  }
  let document = tree
  for (let from = Number(text); from < current; from++) {
    const step = known.find((m) => m.from === from)
    if (!step) {
      report(notes, 'version-too-old', at, `documents of version ${from} are no longer read`, `write it again in version ${current}`)
      return null
    }
    document = step.change(document)
  }
  return document
}
