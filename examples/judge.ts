/** What the program says of a demonstration before anything is shown: the document, its steps, the make-up, the cautions. */
import type { Problem } from '@beakertide/basis/problems'
import { parseMechanism } from '@beakertide/core/mechanism'
import { facts } from '@beakertide/data'
import { parseDemonstration } from '@beakertide/demonstration'

/** Names that a document may use for the catalogue's mechanisms. */
const reactions = [
  'iodate-peroxide-malonate',
  'bromate-malonate-cerium',
  'bromate-malonate-ferroin',
  'iodate-bisulfite',
  'peroxide-iodide-thiosulfate',
  'persulfate-iodide-thiosulfate',
  'permanganate-oxalate',
  'peroxide-iodide',
  'blue-bottle',
]

/** Everything that refuses the demonstration; empty when it may be shown. `beside` reads a file that stands beside the document. */
export function judge(text: string, file: string, beside: (name: string) => string): readonly Problem[] {
  const read = parseDemonstration(text, file, { matter: facts.matter(), reactions })
  if (!read.ok) return read.problems
  const demonstration = read.value
  if ('file' in demonstration.reaction) {
    const steps = parseMechanism(beside(demonstration.reaction.file), demonstration.reaction.file)
    if (!steps.ok) return steps.problems
  }
  return []
}
