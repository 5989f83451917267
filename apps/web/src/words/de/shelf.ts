import type { shelf as english } from '../en/shelf.ts'
import type { SameKeys } from '../phrases.ts'

export const shelf: SameKeys<typeof english> = {
  'shelf.substance': 'Stoff',
  'shelf.substanceExample': 'Name oder Formel wie auf dem Etikett (englisch)',
  'shelf.hydrate': 'Hydrat',
  'shelf.hydrateChoose': 'wie auf dem Etikett: wählen',
  'shelf.hydrateHint': 'davon hängt die Einwaage ab',
}
