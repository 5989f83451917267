/** Texts that a new demonstration begins with. */

/** A text with another title and another reaction, everything else as it stands. */
export function retitled(text: string, title: string, reaction?: string): string {
  const named = text.replace(/^title:.*$/m, () => `title: ${quoted(title)}`)
  return reaction === undefined ? named : named.replace(/^reaction:.*$/m, () => `reaction: ${quoted(reaction)}`)
}

/** Plain where YAML reads it as text, quoted elsewhere. */
function quoted(value: string): string {
  return /^[A-Za-z][\w /-]*$/.test(value) && !/^(?:true|false|null|yes|no|on|off)$/i.test(value) ? value : JSON.stringify(value)
}

/** The keys of a document with a word on each; what is missing is asked for in the problems. */
export function emptyDocument(title: string, reaction: string): string {
  return `beakertide: 1
title: ${quoted(title)}
reaction: ${quoted(reaction)}
# The room's real temperature: every time depends on it.
room: { temperature: 20 degC }

# One line a bottle that stands on the shelf, as its label says, for example
#   acid: { substance: sulfuric acid, strength: 96 % w/w }
bottles: {}

# One line a solution: how much, and what is in it, for example
#   A: { make: 500 mL, with: { acid: 0.1 mol/L } }
solutions: {}

# Vessels and what is poured into them, for example
#   jar: { holds: 1 L, depth: 8 cm, pours: [200 mL of A, 200 mL of B at 10 s] }
vessels: {}

rehearse for: 10 min
`
}
