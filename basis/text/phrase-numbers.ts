/** Numbers in a written text as another place writes them. */

/** "0.190 ± 0.002 mol/L" with the decimal sign; what has two points ("1.2.3", a version) stays. */
export function withDecimalSign(text: string, sign: '.' | ','): string {
  if (sign === '.') return text
  return text.replace(/\d+(?:\.\d+)+/g, (number) => (number.indexOf('.') === number.lastIndexOf('.') ? number.replace('.', sign) : number))
}

/** A narrow space that no line breaks at: a point between thousands would be read as a decimal sign beside a balance. */
const THOUSANDS = '\u202f'

/** From five digits before the decimal sign on, groups of three: "12 345". */
export function groupDigits(text: string): string {
  return text.replace(/(^|[\s(±<>≤≥+\-−])(\d{5,})(?![\d-])/g, (_, before: string, digits: string) => {
    const head = digits.length % 3
    const groups = [...(head > 0 ? [digits.slice(0, head)] : []), ...(digits.slice(head).match(/\d{3}/g) ?? [])]
    return before + groups.join(THOUSANDS)
  })
}
