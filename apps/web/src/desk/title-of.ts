/** The title that a document gives itself, found without reading it whole: for lists, also while the text is broken. */

/** At most so much of a text is looked at. */
const FIRST = 20_000
const LONGEST = 120

/** '' when there is none on a line of its own. */
export function titleOf(text: string): string {
  const written = /^title:[ \t]*(.+?)[ \t]*$/m.exec(text.slice(0, FIRST))?.[1] ?? ''
  const quoted = /^(["'])(.*)\1(?:\s+#.*)?$/.exec(written)
  return (quoted ? (quoted[2] ?? '') : written.replace(/\s+#.*$/, '')).slice(0, LONGEST)
}
