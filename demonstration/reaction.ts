/** `reaction:` -> a catalogue name, or a file that stands beside the document. */
import { suggestion } from '@beakertide/basis/problems'
import type { Tree } from '@beakertide/basis/text'
import type { Demonstration } from './demonstration.ts'
import { type Notes, report, scalarOf, short } from './fields.ts'

const example = '"reaction: iodate-peroxide-malonate" or "reaction: ./my-steps.yaml"'

/** A plain file name; no folders, nothing hidden, nothing that an operating system reads as more than a name. */
const BESIDE = /^\.\/[A-Za-z0-9](?:[A-Za-z0-9._ -]{0,80}[A-Za-z0-9])?\.ya?ml$/

/** A catalogue name, with a variant after one "/": "iodate-bisulfite/elementary". No dots, so that it never is a path to a file. */
const NAME = /^[a-z0-9]+(?:-[a-z0-9]+)*(?:\/[a-z0-9]+(?:-[a-z0-9]+)*)?$/

/** Whether the text means a file at all, well written or not. */
const meansFile = (text: string): boolean => !NAME.test(text) && /[/\\:]|\.ya?ml$/i.test(text)

/** Nothing is read here: a door reads the file and only the one named. */
export function readReaction(tree: Tree, known: readonly string[] | undefined, notes: Notes): Demonstration['reaction'] | null {
  const scalar = scalarOf(tree, 'reaction', example, notes)
  if (!scalar) return null
  const text = scalar.text.trim()
  const at = { where: 'reaction', span: scalar.span }
  if (meansFile(text)) {
    if (BESIDE.test(text) && !text.includes('..')) return { file: text }
    report(
      notes,
      'file-not-beside',
      at,
      `"${short(text)}" is not a file beside this document; no other place, folder or address is read`,
      'copy the steps beside this file and write "./" and its name, as in "./my-steps.yaml"',
    )
    return null
  }
  if (known && !known.includes(text)) {
    const hint = suggestion(text, known)
    report(
      notes,
      'unknown-reaction',
      at,
      `"${short(text)}" is not a reaction of the catalogue`,
      hint === ''
        ? 'list the catalogue with "beakertide mechanisms", or name a file, as in "./my-steps.yaml"'
        : `${hint}${hint.endsWith('?') ? ' "beakertide mechanisms" lists all' : ''}`,
    )
    return null
  }
  return { name: text }
}
