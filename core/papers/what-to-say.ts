/** What a demonstrator may say at each moment of a show: one short sentence a phase, each from what the run itself does. */
import type { SpeciesId } from '../matter/index.ts'
import type { Rehearsal } from '../rehearsal/index.ts'
import { sentence } from './caution-lines.ts'
import { aboutTime } from './times.ts'

/** What the reasons of one rehearsed vessel say of its colour. Plain data. */
export interface Saying {
  readonly vessel: string
  /** The species that colours the liquid and is turned over most; null: none. */
  readonly species: SpeciesId | null
  /** What hid the colour and is used up at the first turn; null: nothing did. */
  readonly gone: SpeciesId | null
  /** For each turn whether there is more of the species after it than before. */
  readonly rises: readonly boolean[]
}

/** The moments of a course that have a sentence of their own. */
export interface Said {
  /** When the mixture is complete. */
  readonly complete: string
  /** For each turn; '' where the phase has had its sentence. */
  readonly turns: readonly string[]
  /** For the turns that are not cued one by one. */
  readonly andOn: string
  readonly end: string
}

/** A wait shorter than this, s, needs no words. */
const WORTH_A_WORD_S = 5

const SILENT: Said = { complete: '', turns: [], andOn: '', end: '' }

/**
 * Sentences of one course. `name`: what a species is called. Without turns, or where nothing that colours the liquid is made or used, only
 * the wait and the end are told.
 */
export function whatToSay(r: Rehearsal, saying: Saying | undefined, name: (id: SpeciesId) => string): Said {
  if (r.turns.length === 0) return SILENT
  const wait =
    r.inductionS === null || r.inductionS < WORTH_A_WORD_S
      ? ''
      : `Now all is together; for about ${aboutTime(r.inductionS)} nothing is seen.`
  const end = r.stillGoing || r.cause === '' ? '' : sentence(r.cause)
  if (saying === undefined || saying.species === null) return { ...SILENT, complete: wait, end }
  const species = name(saying.species)
  const gone = saying.gone === null ? null : name(saying.gone)
  const rising = `Now more ${species} is made than is used up.`
  const falling = `Now more ${species} is used up than is made.`
  const first = gone === null ? null : `The ${gone} is used up: nothing takes the ${species} away any more.`
  const said = new Set<string>()
  const turns = r.turns.map((_, i) => {
    const text = i === 0 && first !== null ? first : saying.rises[i] === true ? rising : falling
    if (said.has(text)) return ''
    said.add(text)
    return text
  })
  return {
    complete: gone === null ? wait : `${capital(species)} is made from now on, but ${gone} takes it away at once.`,
    turns,
    andOn: r.cycles > 0 ? `One set of reactions makes ${species}, another uses it up; they take turns.` : '',
    end,
  }
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)
