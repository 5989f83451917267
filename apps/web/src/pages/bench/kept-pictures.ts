/** Strips of kept demonstrations: computed once for a text, by the same worker that looks quickly, and kept. */
import { collection } from '../../store/store.ts'
import { type DocumentText, noChanges, type Work } from '../../work/contract.ts'
import { pictureOf, type StripPicture } from './strip-picture.ts'

interface KeptPictures {
  readonly id: string
  readonly pictures: readonly StripPicture[]
}

const kept = collection<KeptPictures>('pictures')

/** A fingerprint of everything the strip follows from, this program's own facts and code included. */
async function fingerprint(document: DocumentText): Promise<string> {
  const bytes = new TextEncoder().encode(JSON.stringify([import.meta.url, document.text, document.beside]))
  const digest = await crypto.subtle.digest('SHA-256', bytes)
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, '0')).join('')
}

/** One picture a vessel; none when the document does not open as it is. */
export async function picturesOf(document: DocumentText, work: Work): Promise<readonly StripPicture[]> {
  const id = await fingerprint(document)
  const before = await kept.get(id)
  if (before) return before.pictures
  const view = await work.open(document, 'bench')
  const pictures: StripPicture[] = []
  for (const vessel of view.demonstration?.vessels ?? []) {
    const look = await work.quickLook(document, vessel.id, noChanges)
    if (look.ok) pictures.push(pictureOf(look.value))
  }
  await kept.put({ id, pictures })
  return pictures
}
