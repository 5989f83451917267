/** The recipe itself: what each solution is to hold, as a table of fields. It stays usable while the document has problems. */
import type { QuantityKind } from '@beakertide/basis/units'
import type { WrittenDocument, WrittenIngredient } from '@beakertide/demonstration/edit'
import { For } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { QuantityField } from '../../parts/quantity-field.tsx'
import { problemsAt } from '../../parts/written.ts'
import { t } from '../../words/index.ts'

const STRENGTHS: readonly QuantityKind[] = ['amount-concentration', 'mass-concentration', 'mass-fraction']
const kindsOf = (way: WrittenIngredient['way']): readonly QuantityKind[] =>
  way === 'in the mix' ? STRENGTHS : [...STRENGTHS, 'mass', 'volume']
const wayWords: Readonly<Record<WrittenIngredient['way'], () => string>> = {
  'in solution': () => t('makeup.way.inSolution'),
  'in the mix': () => t('makeup.way.inMix'),
  mass: () => t('makeup.way.batch'),
  volume: () => t('makeup.way.batch'),
}

export function RecipeSection(props: { readonly desk: Desk; readonly written: WrittenDocument }) {
  const problems = () => props.desk.day()?.problems ?? []
  const change = (solution: string, i: WrittenIngredient, text: string): void => {
    const path = ['solutions', solution, 'with', i.bottle]
    // Another kind of amount is another way of stating it: the reader of documents takes the way from the unit.
    const isPlain = i.way !== 'in the mix' && i.weighed === '' && i.measured === ''
    const value = isPlain ? text : { [i.way === 'in the mix' ? 'in the mix' : wayFor(text)]: text, ...takenOf(i) }
    props.desk.edit([{ path, value }], t('makeup.label.amount', { bottle: i.bottle }))
  }
  return (
    <details class="makeup-recipe" open={props.desk.day() !== null && props.desk.day()?.prepared === null}>
      <summary>
        <h2>{t('makeup.recipe')}</h2>
      </summary>
      <p class="lead">{t('makeup.recipeLead')}</p>
      <For each={props.written.solutions.map((s) => s.id)}>
        {(id) => {
          const s = () => props.written.solutions.find((x) => x.id === id)
          return (
            <fieldset>
              <legend>{id}</legend>
              <QuantityField
                label={t('makeup.make')}
                value={s()?.make ?? ''}
                kinds={['volume']}
                unit="mL"
                problems={problemsAt(problems(), `solution "${id}", make`)}
                onValue={(text) =>
                  props.desk.edit([{ path: ['solutions', id, 'make'], value: text }], t('makeup.label.make', { solution: id }))
                }
              />
              <For each={s()?.ingredients.map((i) => i.bottle) ?? []}>
                {(bottle) => {
                  const i = () => s()?.ingredients.find((x) => x.bottle === bottle)
                  return (
                    <QuantityField
                      label={bottle}
                      hint={i() ? wayWords[i()!.way]() : ''}
                      value={i()?.amount ?? ''}
                      kinds={i() ? kindsOf(i()!.way) : STRENGTHS}
                      unit=""
                      problems={problemsAt(problems(), `solution "${id}", "${bottle}"`)}
                      onValue={(text) => text !== undefined && i() && change(id, i()!, text)}
                    />
                  )
                }}
              </For>
            </fieldset>
          )
        }}
      </For>
    </details>
  )
}

/** By the unit of the text: a mass or a volume is that of the batch. */
function wayFor(text: string): string {
  if (/\s(?:[munµ]?g|kg)$/.test(text)) return 'mass'
  return /\s(?:[munµcd]?[lL]|cm3)$/.test(text) ? 'volume' : 'in solution'
}
const takenOf = (i: WrittenIngredient): Readonly<Record<string, string>> => ({
  ...(i.weighed === '' ? {} : { weighed: i.weighed }),
  ...(i.measured === '' ? {} : { measured: i.measured }),
})
