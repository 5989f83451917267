/** Cautions as lines, the same wherever they stand: how bad, about what, what happens, what to do instead. Never cut. */
import type { DangerLine } from '@beakertide/core/papers'
import { isGrave } from '../desk/grave.ts'
import { createUniqueId, For, type JSX, Show } from '../framework.ts'
import { said, t } from '../words/index.ts'
import { Said } from './said.tsx'
import './caution-lines.css'

const gradeKeys = { 1: 'cautions.grade.1', 2: 'cautions.grade.2', 3: 'cautions.grade.3', 4: 'cautions.grade.4' } as const

/** One caution, whole. */
export function CautionLine(props: { readonly line: DangerLine }) {
  return (
    <li data-grade={props.line.severity}>
      <span class="caution-grade">
        {props.line.refused ? t('cautions.refused') : t(gradeKeys[props.line.severity])}
        <Show when={props.line.onlyIf}> ({t('cautions.onlyIf')})</Show>
      </span>{' '}
      <span class="caution-about">{said(props.line.about)}:</span> <Said text={props.line.what} />
      <Show when={props.line.instead !== ''}>
        {' '}
        <span class="caution-instead">
          <Said text={props.line.instead} />
        </span>
      </Show>
    </li>
  )
}

export interface CautionBlockProps {
  readonly title: string
  readonly lines: readonly DangerLine[]
  /** A sentence under the lines. */
  readonly note?: JSX.Element
}

/** Cautions that belong to what stands below them on a page; nothing at all where there are none. */
export function CautionBlock(props: CautionBlockProps) {
  const id = createUniqueId()
  return (
    <Show when={props.lines.length > 0}>
      <div role="group" class="caution-block" aria-labelledby={id} data-grave={props.lines.some(isGrave) ? '' : undefined}>
        <p class="caution-block-title" id={id}>
          {props.title}
        </p>
        <ul class="caution-lines">
          <For each={props.lines}>{(line) => <CautionLine line={line} />}</For>
        </ul>
        <Show when={props.note}>
          <p>{props.note}</p>
        </Show>
      </div>
    </Show>
  )
}
