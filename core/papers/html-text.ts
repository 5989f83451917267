/** Text set as HTML: harmless, with real sub- and superscripts. */
import { escapeMarkup } from './markup.ts'

const LOWERED = '₀₁₂₃₄₅₆₇₈₉'
const RAISED = '⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻'
const RAISED_AS = '0123456789+−'

/** Escaped text with sub- and superscripts set as such, and numbers kept with their unit. */
export function htmlText(text: string): string {
  return escapeMarkup(text)
    .replace(/[₀-₉]+/g, (run) => `<sub>${Array.from(run, (c) => LOWERED.indexOf(c)).join('')}</sub>`)
    .replace(/[⁰¹²³⁴-⁹⁺⁻]+/g, (run) => `<sup>${Array.from(run, (c) => RAISED_AS[RAISED.indexOf(c)] ?? c).join('')}</sup>`)
    .replace(/(\d) (mL|L|g|mg|kg|mol|mmol|mol\/L|mmol\/L|s|min|h|K|°C|%|cm|nm|mV|ppm|m³)(?![\w])/g, '$1\u00a0$2')
}
