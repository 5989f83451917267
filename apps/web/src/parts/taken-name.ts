/** Names that documents take for bottles and solutions. */
const LONGEST_NAME = 40

/** The text with only what a name may hold: letters, digits, spaces and - _ . + ( ) ', up to 40; else `fallback`. */
export function takenName(text: string, fallback: string): string {
  const plain = text
    .replace(/[^\p{L}\p{N} _.+()'-]/gu, ' ')
    .replace(/\s+/g, ' ')
    .replace(/^[^\p{L}\p{N}]+/u, '')
    .trim()
    .slice(0, LONGEST_NAME)
    .trim()
  return plain === '' ? fallback : plain
}
