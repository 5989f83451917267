import type { rename as english } from '../en/rename.ts'
import type { SameKeys } from '../phrases.ts'

export const rename: SameKeys<typeof english> = {
  'rename.button': 'Umbenennen',
  'rename.bottle': 'Flasche {name} umbenennen',
  'rename.solution': 'Lösung {name} umbenennen',
  'rename.vessel': 'Gefäß {name} umbenennen',
  'rename.newName': 'neuer Name',
  'rename.everywhere': 'Er ändert sich überall im Dokument; Anmerkungen und Reihenfolge bleiben.',
  'rename.save': 'Umbenennen',
  'rename.cancel': 'Abbrechen',
  'rename.label': '{from} heißt jetzt {to}',
  'rename.bottles': 'Flaschen dieser Vorführung',
}
