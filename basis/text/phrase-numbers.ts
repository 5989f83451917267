/** Numbers in a written text as another place writes them. */

/** "0.190 ± 0.002 mol/L" with the decimal sign; what has two points ("1.2.3", a version) stays. */
export function withDecimalSign(text: string, sign: '.' | ','): string {
  if (sign === '.') return text
  return text.replace(/\d+(?:\.\d+)+/g, (number) => (number.indexOf('.') === number.lastIndexOf('.') ? number.replace('.', sign) : number))
}

/** A narrow space that no line breaks at: a point between thousands would be read as a decimal sign beside a balance. */
const THOUSANDS = '\u202f'

/**
 * From five digits before the decimal sign on, groups of three: "12 345". Decimals stay, and so does what is joined to another number or a
 * word ("10034-85-2", "20261125-1", "x12345"): it is a code, in all its parts.
 */
const groupDigits = (text: string): string =>
  text.replace(/(?<![\p{L}\p{N}][.,/-]?)\d{5,}(?![\d/-])/gu, (digits) => digits.replace(/(?<=\d)(?=(?:\d{3})+$)/g, THOUSANDS))

/** The numbers of a text that holds nothing else, as the place writes them. */
export const placeNumbers = (text: string, sign: '.' | ','): string => groupDigits(withDecimalSign(text, sign))
