/** Names of traces in the language of the page. */
import type { Trace } from '@beakertide/core/rehearsal'
import { t } from '../../words/index.ts'
import { EYE_ABSORBANCE } from './eye-absorbance.ts'

export function traceTitle(trace: Pick<Trace, 'name'>): string {
  switch (trace.name) {
    case 'iodide electrode':
      return t('rehearsal.traceIodide')
    case 'pI':
      return t('rehearsal.tracePI')
    case 'platinum electrode':
      return t('rehearsal.tracePlatinum')
    case EYE_ABSORBANCE:
      return t('rehearsal.traceAbsorbance')
    case 'temperature':
      return t('rehearsal.temperature')
    case 'gas set free':
      return t('rehearsal.traceGas')
    default:
      return trace.name
  }
}
