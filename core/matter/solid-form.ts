import type { Substance } from './substance.ts'

/** Forms that pour: everything else in the substance table is weighed as a solid. */
const POURS = /solution|liquid|syrup/i

/** True for a form of the substance table that stands in its bottle as a solid ("solution or red solid" counts as a liquid). */
export function isSolidForm(form: string): boolean {
  return !POURS.test(form)
}

/** True for a substance sold as it is that stands in its bottle as a solid; what is sold as a solution of itself does not. */
export const standsSolid = (substance: Pick<Substance, 'soldAs' | 'form'>): boolean =>
  substance.soldAs === 'pure' && isSolidForm(substance.form)
