/** One solution as a card for the bench: what to take in figures that wet gloves can read, what was taken, and the steps. */
import { withUncertainty } from '@beakertide/basis/units'
import type { WorkStep } from '@beakertide/core/makeup'
import type { Desk } from '../desk/desk.ts'
import { For, Show } from '../framework.ts'
import { type BenchCardData, type CardPortion, fullness, isOff } from './bench-cards.ts'
import { said, t } from '../words/index.ts'
import { formatNumber } from '../words/numbers.ts'
import { shownQuantity } from '../words/quantities.ts'
import { formulaText } from './formula-text.ts'
import { RenameButton } from './rename-button.tsx'
import { QuantityField } from './quantity-field.tsx'
import './bench-card.css'

export interface BenchCardProps {
  readonly desk: Desk
  readonly card: BenchCardData
  readonly number: number
  readonly of: number
  /** As entered back, in the form of the document; '' when nothing was. */
  readonly taken: (bottle: string) => string
  readonly onTaken: (bottle: string, kind: 'weighed' | 'measured', text: string | undefined) => void
  readonly isDone: (step: WorkStep) => boolean
  readonly onDone: (step: WorkStep, isDone: boolean) => void
}

const PER_CENT = 100

/** "500 mL", "1.25 L" */
function volumeWords(volumeL: number): string {
  return volumeL >= 1 ? `${formatNumber(volumeL, 4)} L` : `${formatNumber(volumeL * 1000, 4)} mL`
}

export function BenchCard(props: BenchCardProps) {
  const solution = () => props.card.solution
  const id = () => `card-${props.number}`
  return (
    <section class="bench-card" aria-labelledby={id()} data-danger={props.card.isDangerous ? '' : undefined}>
      <header>
        <div class="card-name">
          <h2 id={id()}>
            {solution().id} <span class="card-volume">{volumeWords(solution().volumeL)}</span>
          </h2>
          <RenameButton desk={props.desk} of="solution" name={solution().id} />
        </div>
        <p>
          {t('makeup.cardOf', { n: props.number, of: props.of })}
          <Show when={props.card.waitMinutes > 0}> · {t('makeup.waits', { minutes: Math.round(props.card.waitMinutes) })}</Show>
        </p>
      </header>
      <div class="card-body">
        <div class="card-take">
          <h3>{t('makeup.take')}</h3>
          <ul>
            <For each={props.card.portions}>
              {(p) => <Take portion={p} desk={props.desk} taken={props.taken} onTaken={props.onTaken} />}
            </For>
          </ul>
          <Show when={props.card.portions.length === 0}>
            <p>{t('makeup.waterOnly')}</p>
          </Show>
          <p class="card-fill">
            {t('makeup.fillUp', { volume: volumeWords(solution().volumeL) })}
            <Show when={solution().filledUpIn}>
              {(tool) => (
                <>
                  {' '}
                  <span>({shownQuantity(said(tool()))})</span>
                </>
              )}
            </Show>
          </p>
        </div>
        <div class="card-work">
          <h3>{t('makeup.steps')}</h3>
          <Steps card={props.card} isDone={props.isDone} onDone={props.onDone} />
          <Notes card={props.card} />
        </div>
      </div>
    </section>
  )
}

function Take(props: {
  readonly desk: Desk
  readonly portion: CardPortion
  readonly taken: BenchCardProps['taken']
  readonly onTaken: BenchCardProps['onTaken']
}) {
  const p = () => props.portion.portion
  const isVolume = () => p().measure === 'measure-volume'
  const kind = (): 'weighed' | 'measured' => (isVolume() ? 'measured' : 'weighed')
  const strength = () => props.portion.strength
  const isTaken = () => props.taken(p().bottle) !== ''
  return (
    <li class="take">
      <p class="take-amount">{shownQuantity(said(p().written))}</p>
      <p class="take-what">
        <strong>{said(p().substanceName)}</strong> {formulaText(p().formula)}
        <span class="quiet">
          {t('makeup.fromBottle', { bottle: p().bottle })} <span>{shownQuantity(said(p().tool))}</span>
          <RenameButton desk={props.desk} of="bottle" name={p().bottle} />
        </span>
      </p>
      <Show when={strength()}>
        {(s) => (
          <p class="take-gives" data-off={isOff(props.portion) ? '' : undefined}>
            <Show when={s().trueMolPerL > 0}>
              {t('makeup.gives', { strength: shownQuantity(withUncertainty(s().trueMolPerL, s().uncertaintyMolPerL)) })}
            </Show>{' '}
            <Show when={s().wantedMolPerL !== null && s().trueMolPerL > 0}>
              <span class="quiet">{t('makeup.wanted', { strength: formatNumber(s().wantedMolPerL ?? 0, 4) })}</span>
            </Show>
            <Show when={isOff(props.portion)}>
              {' '}
              <strong>
                {(props.portion.off ?? 0) > 0
                  ? t('makeup.tooMuch', { share: formatNumber(PER_CENT * (props.portion.off ?? 0), 2) })
                  : t('makeup.tooLittle', { share: formatNumber(-PER_CENT * (props.portion.off ?? 0), 2) })}
              </strong>
            </Show>
          </p>
        )}
      </Show>
      <QuantityField
        large
        label={isVolume() ? t('makeup.asMeasured', { bottle: p().bottle }) : t('makeup.asWeighed', { bottle: p().bottle })}
        value={props.taken(p().bottle)}
        kinds={isVolume() ? ['volume'] : ['mass']}
        unit={isVolume() ? 'mL' : 'g'}
        mayBeEmpty
        placeholder={isTaken() ? '' : p().written}
        onValue={(text) => props.onTaken(p().bottle, kind(), text)}
      />
      <details class="whence">
        <summary>{t('makeup.whence')}</summary>
        <p>
          {t('makeup.exactly', {
            amount:
              isVolume() && p().volumeL !== null ? `${formatNumber((p().volumeL ?? 0) * 1000, 5)} mL` : `${formatNumber(p().massG, 5)} g`,
            share: formatNumber(PER_CENT * p().relativeUncertainty, 2),
          })}
        </p>
        <ul>
          <For each={p().budget ?? []}>
            {(part) => (
              <li>
                {shownQuantity(said(part.what))}: {formatNumber(PER_CENT * part.relative, 2)} %
              </li>
            )}
          </For>
          <For each={p().notes}>{(note) => <li>{shownQuantity(said(note))}</li>}</For>
        </ul>
      </details>
    </li>
  )
}

function Steps(props: Pick<BenchCardProps, 'card' | 'isDone' | 'onDone'>) {
  return (
    <ol class="card-steps">
      <For each={props.card.steps}>
        {(step) => (
          <li data-danger={step.danger ? '' : undefined} data-done={props.isDone(step) ? '' : undefined}>
            <label>
              <input type="checkbox" checked={props.isDone(step)} onChange={(e) => props.onDone(step, e.currentTarget.checked)} />
              <span>
                <Show when={step.danger}>
                  <strong class="step-danger">{said('DANGER.')} </strong>
                </Show>
                {shownQuantity(said(step.text))}
                <Show when={step.waitMinutes}>{(minutes) => <em> {t('makeup.wait', { minutes: formatNumber(minutes(), 2) })}</em>}</Show>
              </span>
            </label>
          </li>
        )}
      </For>
    </ol>
  )
}

function Notes(props: { readonly card: BenchCardData }) {
  const nameOf = (id: string): string => said(props.card.portions.find((p) => p.portion.substanceId === id)?.portion.substanceName ?? id)
  const solution = () => props.card.solution
  const heat = () => solution().heatOfMakingK
  return (
    <ul class="card-notes">
      <For each={props.card.solubility}>
        {(s) => (
          <li data-verdict={s.verdict}>
            <Show when={fullness(s)} fallback={t('makeup.solubilityUnknown', { substance: nameOf(s.substanceId) })}>
              {(share) => (
                <>
                  {t(share() > 1 ? 'makeup.tooFull' : 'makeup.fullness', {
                    substance: nameOf(s.substanceId),
                    share: formatNumber(PER_CENT * share(), 2),
                    celsius: formatNumber(s.atCelsius, 3),
                  })}
                  <Show when={s.dissolvesAboveCelsius}>
                    {(celsius) => <> {t('makeup.dissolvesAbove', { celsius: formatNumber(celsius(), 2) })}</>}
                  </Show>
                </>
              )}
            </Show>
          </li>
        )}
      </For>
      <Show when={heat() !== null && Math.abs(heat() ?? 0) >= 1}>
        <li>
          {(heat() ?? 0) > 0
            ? t('makeup.warms', { kelvin: formatNumber(heat() ?? 0, 2) })
            : t('makeup.cools', { kelvin: formatNumber(-(heat() ?? 0), 2) })}
        </li>
      </Show>
      <Show when={(solution().heatUnknownFor ?? []).length > 0}>
        <li>{t('makeup.heatUnknown', { bottles: (solution().heatUnknownFor ?? []).join(', ') })}</li>
      </Show>
      <li>
        {t('makeup.density', { density: formatNumber(solution().densityGPerMl, 4), mass: formatNumber(solution().massG, 4) })}{' '}
        <span class="quiet">({said(solution().densityFrom)})</span>
      </li>
    </ul>
  )
}
