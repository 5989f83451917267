/** Problems of one answer under their usual heading. */
import type { Problem } from '@beakertide/basis/problems'
import { t } from '../words/index.ts'
import { ProblemList } from './problem-list.tsx'

export const ProblemLines = (props: { readonly problems: readonly Problem[] }) => (
  <ProblemList problems={props.problems} title={t('problems.title')} />
)
