/** Whether a rate is zero for certain when species are absent: read off the form of the law, not from numbers. */
import type { SpeciesId } from '../matter/index.ts'
import type { Expression } from './mechanism.ts'

/** True when the value is exactly zero with every species that is not `isPresent` at zero. False: it may differ from zero. */
export function vanishesWithout(law: Expression, isPresent: (species: SpeciesId) => boolean): boolean {
  const zero = (e: Expression): boolean => vanishesWithout(e, isPresent)
  switch (law.op) {
    case 'number':
      return law.value === 0
    case 'concentration':
      return !isPresent(law.species)
    case 'mul':
      return zero(law.a) || zero(law.b)
    case 'add':
    case 'sub':
    case 'max':
      return zero(law.a) && zero(law.b)
    case 'min':
      return zero(law.a) || zero(law.b)
    case 'div':
    case 'neg':
    case 'sqrt':
      return zero(law.a)
    case 'pow':
      return zero(law.a) && law.b.op !== 'neg' && !zero(law.b)
    default:
      return false
  }
}
