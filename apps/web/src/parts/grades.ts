/** How well a number or a model is known, in the words every page uses. */
import type { ConstantStatus, Mechanism } from '@beakertide/core/mechanism'
import type { Seen } from '@beakertide/basis/sources'
import { t } from '../words/index.ts'

/** Of a constant. */
export function gradeWords(status: ConstantStatus, seen: Seen): string {
  if (status === 'assumed' || status === 'placeholder' || seen === 'assumed') return t('rehearsal.gradeAssumed')
  if (status === 'adjusted-in-range' || status === 'adjusted-outside-range') return t('rehearsal.gradeAdjusted')
  return seen === 'memory' ? t('rehearsal.gradeRemembered') : t('rehearsal.gradePublished')
}

/** Of a whole model. */
export function modelGradeWords(grade: Mechanism['grade']): string {
  switch (grade) {
    case 'published':
      return t('rehearsal.modelPublished')
    case 'remembered':
      return t('rehearsal.modelRemembered')
    case 'assembled, fitted':
      return t('rehearsal.modelFitted')
    case 'skeleton':
      return t('rehearsal.modelSkeleton')
    case 'placeholder':
      return t('rehearsal.modelPlaceholder')
  }
}
