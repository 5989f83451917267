import type { Phrases } from '../phrases.ts'

export const rename = {
  'rename.button': 'Rename',
  'rename.bottle': 'Rename bottle {name}',
  'rename.solution': 'Rename solution {name}',
  'rename.vessel': 'Rename vessel {name}',
  'rename.newName': 'new name',
  'rename.everywhere': 'It changes everywhere in the document; notes and order stay.',
  'rename.save': 'Rename',
  'rename.cancel': 'Cancel',
  'rename.label': '{from} is now called {to}',
  'rename.bottles': 'Bottles of this demonstration',
} as const satisfies Phrases
