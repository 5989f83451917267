import type { document as english } from '../en/document.ts'
import type { SameKeys } from '../phrases.ts'

export const document: SameKeys<typeof english> = {
  'document.title': 'Text des Dokuments',
  'document.reading': 'wird gelesen …',
  'document.good': 'kein Problem darin',
  'document.problems': { one: 'ein Problem', other: '{n} Probleme' },
  'document.needsValue': 'hier wird ein Wert gebraucht',
}
