/** One vessel: what it is, and what is poured into it, when. */
import type { WrittenDocument, WrittenPour, WrittenVessel } from '@beakertide/demonstration/edit'
import { For, Index, Show } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { freeName, moved, pourValue } from '../../parts/pour-plan.ts'
import { QuantityField } from '../../parts/quantity-field.tsx'
import { RenameButton } from '../../parts/rename-button.tsx'
import { ChoiceField, TextField } from '../../parts/text-field.tsx'
import { problemsAt } from '../../parts/written.ts'
import { t } from '../../words/index.ts'

const LATER = '20 s'
/** A flag that is not written: that of the model, for a vessel that is like another. */
const AS_MODEL = ''
type FlagWord = 'pour.openTop' | 'pour.stoppered' | 'pour.notShaken' | 'pour.isShaken'

const flagShown = (written: string, like: string): string => (written !== '' ? written : like === '' ? 'no' : AS_MODEL)
const flagChoices = (no: FlagWord, yes: FlagWord, like: string): readonly { readonly value: string; readonly words: string }[] => [
  ...(like === '' ? [] : [{ value: AS_MODEL, words: t('pour.asModel', { vessel: like }) }]),
  { value: 'no', words: t(no) },
  { value: 'yes', words: t(yes) },
]

export function VesselFields(props: { readonly desk: Desk; readonly written: WrittenDocument; readonly vessel: WrittenVessel }) {
  const { desk } = props
  const v = () => props.vessel
  const path = (): readonly string[] => ['vessels', v().id]
  const problems = () => desk.day()?.problems ?? []
  const at = (...places: readonly string[]): readonly string[] => problemsAt(problems(), ...places.map((p) => `vessel "${v().id}"${p}`))
  const set = (key: string, text: string | undefined, label: string): void => desk.edit([{ path: [...path(), key], value: text }], label)
  const writePours = (pours: readonly WrittenPour[], label: string): void =>
    desk.edit([{ path: [...path(), 'pours'], value: pours.map(pourValue) }], label)
  const names = () => props.written.solutions.map((s) => s.id)
  const others = () => props.written.vessels.map((o) => o.id)
  /** What may have stood there: solutions and bottles, and whatever the document says that is neither. */
  const heldNames = (): readonly string[] => [...new Set([...names(), ...props.written.bottles.map((b) => b.id), ...v().heldBefore])]
  const held = (name: string, on: boolean): void => {
    const now = heldNames().filter((n) => (n === name ? on : v().heldBefore.includes(n)))
    desk.edit([{ path: [...path(), 'held before'], value: now.length === 0 ? undefined : now }], t('pour.label.held', { vessel: v().id }))
  }
  const addLike = (): void => {
    const like = v().like === '' ? v().id : v().like
    desk.edit([{ path: ['vessels', freeName(v().id, others())], value: { like, 'starts at': LATER } }], t('pour.label.addVessel'))
  }
  const remove = (): void => desk.edit([{ path: path(), value: undefined }], t('pour.label.removeVessel', { vessel: v().id }))
  return (
    <section class="vessel-fields" aria-label={t('pour.vesselNamed', { vessel: v().id })}>
      <header>
        <h2>{v().id}</h2>
        <p>
          <RenameButton desk={desk} of="vessel" name={v().id} />{' '}
          <button type="button" onClick={addLike}>
            {t('pour.addLike', { vessel: v().id })}
          </button>{' '}
          <Show when={props.written.vessels.length > 1 && !props.written.vessels.some((o) => o.like === v().id)}>
            <button type="button" class="plain" onClick={remove}>
              {t('pour.removeVessel', { vessel: v().id })}
            </button>
          </Show>
        </p>
      </header>
      <For each={at('')}>
        {(line) => (
          <p class="field-fault" role="alert">
            {line}
          </p>
        )}
      </For>
      <div class="pour-fields">
        <Show when={v().like !== ''}>
          <TextField
            label={t('pour.like')}
            value={v().like}
            offers={others().map((value) => ({ value }))}
            onValue={(text) => set('like', text || undefined, t('pour.like'))}
          />
        </Show>
        <QuantityField
          label={t('pour.holds')}
          value={v().holds}
          kinds={['volume']}
          unit="mL"
          mayBeEmpty
          placeholder={v().like === '' ? t('pour.notStated') : t('pour.asModel', { vessel: v().like })}
          problems={at(', holds')}
          onValue={(text) => set('holds', text, t('pour.holds'))}
        />
        <QuantityField
          label={t('pour.depth')}
          value={v().depth}
          kinds={['length']}
          unit="cm"
          mayBeEmpty
          placeholder={v().like === '' ? '5 cm' : t('pour.asModel', { vessel: v().like })}
          hint={t('pour.depthHint')}
          problems={at(', depth')}
          onValue={(text) => set('depth', text, t('pour.depth'))}
        />
        <QuantityField
          label={t('pour.startsAt')}
          value={v().startsAt}
          kinds={['time']}
          unit="s"
          mayBeEmpty
          placeholder="0 s"
          problems={at(', starts at')}
          onValue={(text) => set('starts at', text, t('pour.startsAt'))}
        />
        <QuantityField
          label={t('pour.count')}
          value={v().count}
          kinds={['number']}
          unit=""
          mayBeEmpty
          placeholder="1"
          problems={at(', count')}
          onValue={(text) => set('count', text, t('pour.count'))}
        />
        <ChoiceField
          label={t('pour.stirred')}
          value={v().stirred === 'no' ? 'no' : 'yes'}
          choices={[
            { value: 'yes', words: t('pour.yes') },
            { value: 'no', words: t('pour.no') },
          ]}
          problems={at(', stirred')}
          onValue={(value) => set('stirred', value === 'yes' ? undefined : 'no', t('pour.stirred'))}
        />
      </div>
      <div class="pour-fields">
        <ChoiceField
          label={t('pour.closed')}
          value={flagShown(v().closed, v().like)}
          choices={flagChoices('pour.openTop', 'pour.stoppered', v().like)}
          hint={v().closed === 'yes' ? t('pour.closedHint') : ''}
          problems={at(', closed')}
          onValue={(value) => set('closed', value === AS_MODEL ? undefined : value, t('pour.closed'))}
        />
        <ChoiceField
          label={t('pour.shaken')}
          value={flagShown(v().shaken, v().like)}
          choices={flagChoices('pour.notShaken', 'pour.isShaken', v().like)}
          problems={at(', shaken')}
          onValue={(value) => set('shaken', value === AS_MODEL ? undefined : value, t('pour.shaken'))}
        />
        <fieldset class="held-before">
          <legend>{t('pour.heldBefore')}</legend>
          <For each={heldNames()}>
            {(name) => (
              <label>
                <input type="checkbox" checked={v().heldBefore.includes(name)} onChange={(e) => held(name, e.currentTarget.checked)} />
                {name}
              </label>
            )}
          </For>
          <span class="field-hint">{v().heldBefore.length === 0 ? t('pour.heldNothing') : t('pour.heldHint')}</span>
          <For each={at(', held before')}>
            {(line) => (
              <span class="field-fault" role="alert">
                {line}
              </span>
            )}
          </For>
        </fieldset>
      </div>
      <Show when={v().pours} fallback={<p class="quiet">{t('pour.poursAsModel', { vessel: v().like })}</p>}>
        {(pours) => (
          <>
            <ol class="pour-list">
              <Index each={pours()}>
                {(p, i) => (
                  <li>
                    <QuantityField
                      label={t('pour.volume')}
                      value={p().volume}
                      kinds={['volume']}
                      unit="mL"
                      problems={at(`, pour ${i + 1}, volume`, `, pour ${i + 1}`)}
                      onValue={(text) =>
                        text !== undefined &&
                        writePours(replaced(pours(), i, { volume: text }), t('pour.label.volume', { solution: p().pour }))
                      }
                    />
                    <ChoiceField
                      label={t('pour.of')}
                      value={p().pour}
                      choices={names().map((value) => ({ value, words: value }))}
                      onValue={(pour) => writePours(replaced(pours(), i, { pour }), t('pour.label.solution'))}
                    />
                    <QuantityField
                      label={t('pour.at')}
                      value={p().at}
                      kinds={['time']}
                      unit="s"
                      mayBeEmpty
                      placeholder="0 s"
                      problems={at(`, pour ${i + 1}, at`)}
                      onValue={(text) => writePours(replaced(pours(), i, { at: text ?? '' }), t('pour.label.time', { solution: p().pour }))}
                    />
                    <QuantityField
                      label={t('pour.warm')}
                      value={p().temperature}
                      kinds={['temperature']}
                      unit="degC"
                      mayBeEmpty
                      placeholder={t('pour.warmAsMade')}
                      problems={at(`, pour ${i + 1}, temperature`)}
                      onValue={(text) =>
                        writePours(replaced(pours(), i, { temperature: text ?? '' }), t('pour.label.warm', { solution: p().pour }))
                      }
                    />
                    <p class="pour-buttons">
                      <button
                        type="button"
                        class="plain"
                        disabled={i === 0}
                        aria-label={t('pour.earlierNamed', { solution: p().pour })}
                        onClick={() => writePours(moved(pours(), i, -1), t('pour.label.order'))}
                      >
                        {t('pour.earlier')}
                      </button>
                      <button
                        type="button"
                        class="plain"
                        disabled={i === pours().length - 1}
                        aria-label={t('pour.laterNamed', { solution: p().pour })}
                        onClick={() => writePours(moved(pours(), i, 1), t('pour.label.order'))}
                      >
                        {t('pour.later')}
                      </button>
                      <button
                        type="button"
                        class="plain"
                        disabled={pours().length === 1}
                        aria-label={t('pour.removeNamed', { solution: p().pour })}
                        onClick={() =>
                          writePours(
                            pours().filter((_, j) => j !== i),
                            t('pour.label.remove', { solution: p().pour }),
                          )
                        }
                      >
                        {t('pour.remove')}
                      </button>
                    </p>
                  </li>
                )}
              </Index>
            </ol>
            <button
              type="button"
              disabled={names().length === 0}
              onClick={() =>
                writePours(
                  [...pours(), { volume: '10 mL', pour: names()[0] ?? '', at: pours().at(-1)?.at ?? '', temperature: '' }],
                  t('pour.label.add'),
                )
              }
            >
              {t('pour.add')}
            </button>
          </>
        )}
      </Show>
    </section>
  )
}

const replaced = (pours: readonly WrittenPour[], index: number, change: Partial<WrittenPour>): readonly WrittenPour[] =>
  pours.map((p, i) => (i === index ? { ...p, ...change } : p))
