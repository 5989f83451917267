/** The cautions before a performance: all grave ones in full, and one box to say that they were read. */
import type { DangerLine } from '@beakertide/core/papers'
import { isGrave } from '../../desk/grave.ts'
import { createMemo, For, Show } from '../../framework.ts'
import { CautionBlock } from '../../parts/caution-lines.tsx'
import type { ClearingDangers } from '../../parts/clearing-danger.ts'
import { openForPrint } from '../../parts/open-for-print.ts'
import { Said } from '../../parts/said.tsx'
import { said, t } from '../../words/index.ts'

export interface ReadCautionsProps {
  readonly lines: readonly DangerLine[]
  readonly standing: readonly string[]
  /** Of clearing up afterwards; read and acknowledged with the others. */
  readonly clearing: ClearingDangers
  readonly isRefused: boolean
  readonly areRead: boolean
  readonly onRead: (areRead: boolean) => void
}

/** What was read. A change of any line makes the box empty again. */
export const linesRead = (lines: readonly DangerLine[]): readonly string[] => lines.map((l) => `${l.about}: ${l.what}`)

const Line = (props: { readonly line: DangerLine }) => (
  <li>
    <strong>{said(props.line.about)}:</strong> <Said text={props.line.what} /> <Said text={props.line.instead} />
  </li>
)

export function ReadCautions(props: ReadCautionsProps) {
  let fold: HTMLDetailsElement | undefined
  openForPrint(() => [fold])
  const grave = createMemo(() => props.lines.filter(isGrave))
  const rest = createMemo(() => props.lines.filter((l) => !grave().includes(l)))
  return (
    <section class="read-cautions" aria-labelledby="read-cautions">
      <h2 id="read-cautions">{t('perform.cautions')}</h2>
      <ul>
        <For each={grave()}>{(line) => <Line line={line} />}</For>
      </ul>
      <Show when={rest().length > 0}>
        <details ref={(element) => (fold = element)}>
          <summary>{t('perform.cautionsMore', { n: rest().length })}</summary>
          <ul>
            <For each={rest()}>{(line) => <Line line={line} />}</For>
          </ul>
        </details>
      </Show>
      <h3>{t('perform.always')}</h3>
      <ul>
        <For each={props.standing}>
          {(line) => (
            <li>
              <Said text={line} />
            </li>
          )}
        </For>
      </ul>
      <CautionBlock title={t('perform.clearingDangers')} lines={props.clearing.how === 'known' ? props.clearing.lines : []} />
      <p class="quiet" role="status">
        {props.clearing.how === 'working'
          ? t('perform.clearingWorking')
          : props.clearing.how === 'unknown'
            ? t('perform.clearingUnknown')
            : ''}
      </p>
      <Show when={!props.isRefused} fallback={<p class="refused">{t('perform.refused')}</p>}>
        <label class="big-check">
          <input
            type="checkbox"
            checked={props.areRead}
            disabled={props.clearing.how === 'working'}
            onChange={(e) => props.onRead(e.currentTarget.checked)}
          />
          <span>{t('perform.ackAll')}</span>
        </label>
      </Show>
    </section>
  )
}
