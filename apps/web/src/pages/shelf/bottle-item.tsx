/** One bottle of the shelf: a line that says what it is, and behind it everything that can be said and changed. */
import type { WrittenBottleFields } from '@beakertide/demonstration/edit'
import { For, Show } from '../../framework.ts'
import type { Desk } from '../../desk/desk.ts'
import { AssayForm, uncertainWords } from '../../parts/assay-form.tsx'
import { freeName } from '../../parts/pour-plan.ts'
import { QuantityField } from '../../parts/quantity-field.tsx'
import { daysSince, documentBottle, isUsedAs, servesFor, wantsAssay, withKey, writtenText } from '../../parts/shelf-bottles.ts'
import { SubstanceField } from '../../parts/substance-field.tsx'
import { takenName } from '../../parts/taken-name.ts'
import { saidBeside } from '../../parts/written.ts'
import type { ShelfRecord } from '../../store/shelf-record.ts'
import { said, t } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'
import { shownQuantity } from '../../words/quantities.ts'
import type { BottleLook, SubstanceChoice } from '../../work/shelf-contract.ts'

const STRENGTHS = ['mass-fraction', 'mass-concentration', 'volume-fraction', 'amount-concentration', 'molality', 'oxygen-volumes'] as const
const PER_CENT = 100

export interface BottleItemProps {
  readonly desk: Desk
  readonly record: ShelfRecord
  readonly name: string
  readonly look: BottleLook | undefined
  readonly all: readonly SubstanceChoice[]
  readonly documentBottles: readonly WrittenBottleFields[]
  readonly celsius: number
  readonly isOpen: boolean
  readonly onOpen: (isOpen: boolean) => void
  readonly onChange: (record: ShelfRecord) => void
  readonly onRemove: () => void
}

export function BottleItem(props: BottleItemProps) {
  const r = () => props.record
  const content = () => props.look?.content ?? null
  const change = (key: string, value: unknown): void => props.onChange({ ...r(), written: withKey(r().written, key, value) })
  const isLiquid = () => content()?.state === 'liquid' || writtenText(r(), 'strength') !== '' || isSoldLiquid(r(), props.all)
  const problemsOf = (key: string): readonly string[] =>
    (props.look?.problems ?? []).filter((p) => p.where.endsWith(`, ${key}`)).map(saidBeside)
  const otherProblems = (): readonly string[] =>
    (props.look?.problems ?? []).filter((p) => !/, (?:strength|purity|density)$/.test(p.where)).map(saidBeside)
  const serves = () => servesFor(props.look, props.documentBottles, props.all)
  const use = (bottle: string): void =>
    props.desk.edit([{ path: ['bottles', bottle], value: documentBottle(r()) }], t('shelf.label.used', { bottle }))
  const isInUse = (id: string): boolean => props.documentBottles.some((b) => b.id === id && isUsedAs(r(), b))
  const addToDocument = (): void => {
    const id = freeName(
      takenName(props.name, t('shelf.unnamed')),
      props.documentBottles.map((b) => b.id),
    )
    props.desk.edit([{ path: ['bottles', id], value: documentBottle(r()) }], t('shelf.label.used', { bottle: id }))
  }
  return (
    <li class="shelf-bottle">
      <details open={props.isOpen} onToggle={(e) => e.currentTarget.open !== props.isOpen && props.onOpen(e.currentTarget.open)}>
        <summary>
          <span class="bottle-name">{props.name}</span>
          <span class="bottle-line">
            <Line {...props} />
          </span>
        </summary>
        <div class="bottle-body">
          <div class="shelf-fields">
            <SubstanceField
              substance={writtenText(r(), 'substance')}
              hydrate={writtenText(r(), 'hydrate')}
              all={props.all}
              problems={writtenText(r(), 'substance') === '' ? [] : otherProblems()}
              onChange={(substance, hydrate) =>
                props.onChange({ ...r(), written: withKey(withKey(r().written, 'substance', substance), 'hydrate', hydrate) })
              }
            />
            <Show
              when={isLiquid()}
              fallback={
                <QuantityField
                  label={t('shelf.purity')}
                  value={writtenText(r(), 'purity')}
                  kinds={['fraction', 'mass-fraction']}
                  unit="%"
                  mayBeEmpty
                  placeholder={t('shelf.notStated')}
                  problems={problemsOf('purity')}
                  onValue={(text) => change('purity', text)}
                />
              }
            >
              <QuantityField
                label={t('shelf.strength')}
                value={writtenText(r(), 'strength')}
                kinds={STRENGTHS}
                unit=""
                mayBeEmpty
                placeholder="30 % w/w"
                hint={t('shelf.strengthHint')}
                problems={problemsOf('strength')}
                onValue={(text) => change('strength', text)}
              />
              <QuantityField
                label={t('shelf.density')}
                value={writtenText(r(), 'density')}
                kinds={['density']}
                unit="g/mL"
                mayBeEmpty
                placeholder={t('shelf.fromTable')}
                problems={problemsOf('density')}
                onValue={(text) => change('density', text)}
              />
            </Show>
            <QuantityField
              label={t('shelf.left')}
              value={r().left}
              kinds={['mass', 'volume']}
              unit={isLiquid() ? 'mL' : 'g'}
              mayBeEmpty
              placeholder={t('shelf.notKnown')}
              onValue={(left) => props.onChange({ ...r(), left: left ?? '' })}
            />
            <label class="date-field">
              {t('shelf.openedOn')}
              <input type="date" value={r().openedOn} onChange={(e) => props.onChange({ ...r(), openedOn: e.currentTarget.value })} />
            </label>
          </div>
          <Show when={content()}>{(c) => <Forms content={c()} />}</Show>
          <Show when={content()?.perishes}>
            {(p) => (
              <p class="bottle-perishes">
                {said(p().why)}: {t('shelf.doubt', { share: formatNumber(PER_CENT * p().doubt, 2) })} {said(p().assay)}.
              </p>
            )}
          </Show>
          <Show when={props.look?.label}>
            {(label) => (
              <div class="bottle-hazard">
                <h3>
                  {t('shelf.hazards')} <span>{said(label().signalWord)}</span>
                </h3>
                <ul>
                  <For each={label().statements}>
                    {(s) => (
                      <li>
                        <strong>{s.code}</strong> {said(s.text)}
                      </li>
                    )}
                  </For>
                </ul>
              </div>
            )}
          </Show>
          <For each={(props.look?.warnings ?? []).filter((w) => !/assay|perish/.test(w.code))}>
            {(w) => (
              <p class="bottle-warning">
                {shownQuantity(said(w.what))}; {shownQuantity(said(w.todo))}.
              </p>
            )}
          </For>
          <Show when={(content()?.assays ?? []).length > 0}>
            <details class="bottle-assay">
              <summary>{t('shelf.assay.title')}</summary>
              <AssayForm
                work={props.desk.work}
                bottle={r().written}
                ways={content()?.assays ?? []}
                celsius={props.celsius}
                onKeep={(assay) =>
                  props.onChange({ ...r(), written: withKey(r().written, 'assay', assay), assayedOn: assay ? today() : '' })
                }
              />
            </details>
          </Show>
          <p class="shelf-buttons">
            <For each={serves()}>
              {(bottle) => (
                // The same button says that it was done: who pressed it by keyboard stays on it, and hears it.
                <button type="button" aria-disabled={isInUse(bottle) ? 'true' : undefined} onClick={() => isInUse(bottle) || use(bottle)}>
                  {isInUse(bottle) ? t('shelf.usedFor', { bottle }) : t('shelf.useFor', { bottle })}
                </button>
              )}
            </For>
            <Show when={props.desk.key() !== null && content() !== null && serves().length === 0}>
              <button type="button" onClick={addToDocument}>
                {t('shelf.addToDocument')}
              </button>
            </Show>
            <button type="button" class="plain" onClick={() => props.onRemove()}>
              {t('shelf.remove')}
            </button>
          </p>
        </div>
      </details>
    </li>
  )
}

const isSoldLiquid = (r: ShelfRecord, all: readonly SubstanceChoice[]): boolean =>
  all.some((s) => s.isLiquid && [s.name, ...s.otherNames].some((n) => n.toLowerCase() === writtenText(r, 'substance').toLowerCase()))
/** The day here, as the date field writes it. */
function today(): string {
  const now = new Date()
  return `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, '0')}-${String(now.getDate()).padStart(2, '0')}`
}

/** The line of a closed bottle: strength, what is left, age, and what it does. */
function Line(props: BottleItemProps) {
  const content = () => props.look?.content ?? null
  const days = () => daysSince(props.record.openedOn, Date.now())
  return (
    <>
      <Show when={(props.look?.problems ?? []).length > 0 && writtenText(props.record, 'substance') !== ''}>
        <strong class="bottle-look">{t('shelf.hasProblems')}</strong>{' '}
      </Show>
      <Show when={content()}>
        {(c) => (
          <span>
            {c().formula} {c().molPerL ? `${uncertainWords(c().molPerL!)} mol/L` : `${uncertainWords(percent(c().massFraction))} %`}
            {c().assayed ? ` (${t('shelf.assayed')})` : ''}
          </span>
        )}
      </Show>
      <Show when={props.record.left !== ''}>
        <span> · {t('shelf.leftOver', { left: shownQuantity(props.record.left) })}</span>
      </Show>
      <Show when={days() !== null}>
        <span> · {t('shelf.openFor', { n: days() ?? 0 })}</span>
      </Show>
      <Show when={wantsAssay(props.record, props.look, Date.now())}>
        <strong class="bottle-look"> · {t('shelf.wantsAssay')}</strong>
      </Show>
      <Show when={props.look?.label?.signalWord}>{(word) => <strong class="bottle-danger"> · {said(word())}</strong>}</Show>
      <Show when={content() !== null && props.look?.label === null}>
        <span class="bottle-look"> · {t('shelf.noHazards')}</span>
      </Show>
    </>
  )
}
const percent = (x: { readonly value: number; readonly u: number }) => ({ value: PER_CENT * x.value, u: PER_CENT * x.u })

/** The strength in every form that labels and recipes use. */
function Forms(props: { readonly content: NonNullable<BottleLook['content']> }) {
  const c = () => props.content
  const rows = () => [
    { words: t('shelf.form.massFraction'), value: percent(c().massFraction), unit: '% w/w' },
    ...(c().molPerL ? [{ words: t('shelf.form.amount'), value: c().molPerL!, unit: 'mol/L' }] : []),
    ...(c().gPerL ? [{ words: t('shelf.form.mass'), value: c().gPerL!, unit: 'g/L' }] : []),
    ...(c().volumes ? [{ words: t('shelf.form.volumes'), value: c().volumes!, unit: 'volumes' }] : []),
    ...(c().densityGPerMl ? [{ words: t('shelf.form.density'), value: c().densityGPerMl!, unit: 'g/mL' }] : []),
  ]
  return (
    <div class="bottle-forms">
      <table>
        <caption>
          {said(c().name)}, {c().formula}, {formatNumber(c().molarMassGPerMol, 5)} g/mol
        </caption>
        <tbody>
          <For each={rows()}>
            {(row) => (
              <tr>
                <th scope="row">{row.words}</th>
                <td class="number">{uncertainWords(row.value)}</td>
                <td>{row.unit}</td>
              </tr>
            )}
          </For>
        </tbody>
      </table>
      <details class="whence">
        <summary>{t('makeup.whence')}</summary>
        <ul>
          <For each={c().budget}>
            {(part) => (
              <li>
                {shownQuantity(said(part.what))}: {formatNumber(PER_CENT * part.relative, 2)} %
              </li>
            )}
          </For>
          <Show when={c().densityFrom !== ''}>
            <li>{said(c().densityFrom)}</li>
          </Show>
          <Show when={c().source !== ''}>
            <li lang="en">{c().source}</li>
          </Show>
        </ul>
      </details>
    </div>
  )
}
