/** What may be a name of a bottle, solution, vessel or found recipe: small enough for a page. */

/** Longest name; papers have lines of finite length. */
export const LONGEST_NAME = 40

/** A few letters, digits, spaces and - _ . + ( ). */
export function isNameText(text: string): boolean {
  return text.length <= LONGEST_NAME && /^[\p{L}\p{N}][\p{L}\p{N} _.+()'-]*$/u.test(text)
}
