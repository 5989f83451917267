/** Names of traces in the language of the page. */
import type { Trace } from '@beakertide/core/rehearsal'
import { t } from '../../words/index.ts'

export function traceTitle(trace: Pick<Trace, 'name'>): string {
  switch (trace.name) {
    case 'iodide electrode':
      return t('rehearsal.traceIodide')
    case 'pI':
      return t('rehearsal.tracePI')
    case 'platinum electrode':
      return t('rehearsal.tracePlatinum')
    case 'temperature':
      return t('rehearsal.temperature')
    case 'gas set free':
      return t('rehearsal.traceGas')
    default:
      return trace.name
  }
}
