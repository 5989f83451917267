import type { Phrases } from '../phrases.ts'

export const shelf = {
  'shelf.substance': 'substance',
  'shelf.substanceExample': 'name or formula, as on the label',
  'shelf.hydrate': 'hydrate',
  'shelf.hydrateChoose': 'as the label says: choose',
  'shelf.hydrateHint': 'the weighing depends on it',
} as const satisfies Phrases
