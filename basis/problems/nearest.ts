/** Edit distance with insertion, deletion, change and swap of neighbours (optimal string alignment). */
function editDistance(a: string, b: string): number {
  const rows = a.length + 1
  const columns = b.length + 1
  const d = new Uint16Array(rows * columns)
  for (let i = 0; i < rows; i++) d[i * columns] = i
  for (let j = 0; j < columns; j++) d[j] = j
  for (let i = 1; i < rows; i++) {
    for (let j = 1; j < columns; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1
      let best = Math.min(d[(i - 1) * columns + j]! + 1, d[i * columns + j - 1]! + 1, d[(i - 1) * columns + j - 1]! + same)
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        best = Math.min(best, d[(i - 2) * columns + j - 2]! + 1)
      }
      d[i * columns + j] = best
    }
  }
  return d[rows * columns - 1]!
}

/** Longest word compared; anything longer cannot be a near miss of a name and would only cost time. */
const LONGEST_WORD = 64

/**
 * Up to `most` names that a person may have meant, nearest first; empty when nothing is near.
 * Near: at most one edit in three letters (one in two; none in one), case ignored, or one is the start of the other (three letters at least).
 */
export function nearest(word: string, names: readonly string[], most = 3): readonly string[] {
  const met = word.trim().toLowerCase().slice(0, LONGEST_WORD)
  if (met === '') return []
  const allowed = met.length === 1 ? 0 : Math.max(1, Math.floor(met.length / 3))
  return names
    .map((name) => {
      const known = name.toLowerCase()
      const starts = (met.length >= 3 && known.startsWith(met)) || (known.length >= 3 && met.startsWith(known))
      return { name, far: starts ? 0.5 : editDistance(met, known.slice(0, LONGEST_WORD)) }
    })
    .filter((c) => c.far <= allowed)
    .sort((a, b) => a.far - b.far || a.name.localeCompare(b.name))
    .slice(0, most)
    .map((c) => c.name)
}

/** `did you mean "x" or "y"?`, or the whole list when nothing is near and it is short, or nothing. */
export function suggestion(word: string, names: readonly string[]): string {
  const near = nearest(word, names)
  if (near.length > 0) return `did you mean ${near.map((n) => `"${n}"`).join(' or ')}?`
  if (names.length > 0 && names.length <= 14) return `known here: ${names.join(', ')}`
  return ''
}
