import type { Phrases } from '../phrases.ts'

export const document = {
  'document.title': 'Text of the document',
  'document.reading': 'reading …',
  'document.good': 'no problem in it',
  'document.problems': { one: 'one problem', other: '{n} problems' },
  'document.needsValue': 'a value is needed here',
} as const satisfies Phrases
