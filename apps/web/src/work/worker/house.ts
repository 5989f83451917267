/** The facts of this worker, fetched once; and documents made ready, of which the last few are kept. */
import { done, invariant, type Outcome } from '@beakertide/basis/problems'
import { type Mechanism, parseMechanism } from '@beakertide/core/mechanism'
import { type Facts, factsFrom, packedTexts } from '@beakertide/data/in-page'
import { besideIn, type HouseFacts, type OpenDocument, openDocument, type Prepared, prepareDocument } from '@beakertide/demonstration'
import type { DocumentText } from '../contract.ts'

export interface House {
  readonly tables: Facts
  readonly facts: HouseFacts
  opened(document: DocumentText, name?: string): Outcome<OpenDocument>
  prepared(document: DocumentText, name?: string): Outcome<Prepared>
  /** The catalogue, read when first asked for; null where a file cannot be read. */
  mechanisms(): readonly { readonly name: string; readonly mechanism: Mechanism | null }[]
}

/** Documents kept: the one that is edited, the one before, and those compared with it. */
const KEPT = 6

/** The house whose packed texts stand at `url`. */
export async function houseAt(url: string): Promise<House> {
  const answer = await fetch(url)
  invariant(answer.ok, `the tables of facts answer (${answer.status})`)
  return houseOf(factsFrom(packedTexts(await answer.text())))
}

/** The house over these tables. */
export function houseOf(tables: Facts): House {
  const facts: HouseFacts = { day: tables.day(), mechanisms: tables.mechanisms(), mechanismDefaults: tables.mechanismDefaults() }
  const open = keeping((document: DocumentText, name: string) => openDocument(document.text, name, besideIn(document), facts))
  const ready = keeping((document: DocumentText, name: string): Outcome<Prepared> => {
    const opened = open(document, name)
    return opened.ok ? prepareDocument(opened.value, facts) : opened
  })
  let catalogue: ReturnType<House['mechanisms']> | null = null
  return {
    tables,
    facts,
    opened: (document, name = usualName) => open(document, name),
    prepared: (document, name = usualName) => ready(document, name),
    mechanisms: () =>
      (catalogue ??= facts.mechanisms.map((m) => {
        const read = parseMechanism(m.text, m.file)
        return { name: m.name, mechanism: read.ok ? read.value : null }
      })),
  }
}

const usualName = 'document'

/** Remembers the last few answers. */
function keeping<T>(make: (document: DocumentText, name: string) => T): (document: DocumentText, name: string) => T {
  const kept = new Map<string, T>()
  return (document, name) => {
    const key = JSON.stringify([document.text, document.beside, name])
    let answer = kept.get(key)
    if (answer === undefined) answer = make(document, name)
    kept.delete(key)
    kept.set(key, answer)
    const [oldest] = kept.keys()
    if (kept.size > KEPT && oldest !== undefined) kept.delete(oldest)
    return answer
  }
}

/** A vessel of the document, or a problem. */
export function vesselOf(prepared: Prepared, vessel: string): Outcome<string> {
  const { vessels } = prepared.demonstration
  if (vessels.some((v) => v.id === vessel)) return done(vessel)
  return {
    ok: false,
    problems: [
      {
        code: 'work/no-such-vessel',
        where: `vessel "${vessel}"`,
        what: 'the demonstration has no vessel of this name',
        todo: `choose one of ${vessels.map((v) => v.id).join(', ')}`,
      },
    ],
  }
}
