/** The document's text beside any page: lines numbered, problems at their lines, in step with the pages both ways. */
import type { Problem } from '@beakertide/basis/problems'
import type { Desk } from '../desk/desk.ts'
import { createEffect, createMemo, createSignal, createUniqueId, For, Show } from '../framework.ts'
import { said, t } from '../words/index.ts'
import { lineAt, lineBreakAt, marksOf, offsetOf } from './document-lines.ts'
import './document-panel.css'

const INDENT = '  '

export function DocumentPanel(props: { readonly desk: Desk }) {
  const id = createUniqueId()
  const { desk } = props
  let area: HTMLTextAreaElement | undefined
  const [caretLine, setCaretLine] = createSignal(1)
  const text = () => desk.document().text
  const lines = createMemo(() => text().split('\n').length)
  const day = () => desk.day()
  const marks = createMemo(() => new Map(marksOf(day()?.problems ?? [], day()?.warnings ?? []).map((m) => [m.line, m.kind])))
  const placed = (all: readonly Problem[]): readonly Problem[] =>
    [...all].sort((a, b) => Number(b.danger ?? false) - Number(a.danger ?? false) || (a.span?.line ?? 0) - (b.span?.line ?? 0))
  const numbers = createMemo(() => Array.from({ length: lines() }, (_, i) => i + 1))

  // What the pages change is set into the field; what is typed here is there already, and the caret stays.
  createEffect(() => {
    const now = text()
    if (!area || area.value === now) return
    const { selectionStart, scrollTop } = area
    area.value = now
    if (document.activeElement === area) area.setSelectionRange(selectionStart, selectionStart)
    area.scrollTop = scrollTop
  })

  const lead = (line: number, column: number): void => {
    if (!area) return
    const at = offsetOf(area.value, line, column)
    area.focus()
    area.setSelectionRange(at, offsetOf(area.value, line + 1, 1) - (line < lines() ? 1 : 0))
    const height = area.scrollHeight / Math.max(1, lines())
    const frame = area.closest('.document-text')
    frame?.scrollTo({ top: Math.max(0, (line - 4) * height) })
    setCaretLine(line)
  }
  const put = (written: string): void => {
    if (!area) return
    area.setRangeText(written, area.selectionStart, area.selectionEnd, 'end')
    desk.write(area.value)
  }
  const keys = (event: KeyboardEvent): void => {
    if (!area) return
    if (event.key === 'Enter' && !event.ctrlKey && !event.metaKey && !event.isComposing) {
      event.preventDefault()
      put(lineBreakAt(area.value, area.selectionStart))
    } else if ((event.ctrlKey || event.metaKey) && event.key === ']') {
      event.preventDefault()
      put(INDENT)
    } else if ((event.ctrlKey || event.metaKey) && !event.altKey && (event.key.toLowerCase() === 'z' || event.key.toLowerCase() === 'y')) {
      // The history of the demonstration is the history of its text.
      event.preventDefault()
      if (event.key.toLowerCase() === 'y' || event.shiftKey) desk.redo()
      else desk.undo()
    }
  }
  const follow = (): void => void (area && setCaretLine(lineAt(area.value, area.selectionStart)))

  return (
    <div class="document-panel">
      <p class="document-head">
        <label for={id}>{t('document.title')}</label>
        <span role="status">
          {desk.reading()
            ? t('document.reading')
            : (day()?.problems.length ?? 0) === 0
              ? t('document.good')
              : t('document.problems', { n: day()?.problems.length ?? 0 })}
        </span>
      </p>
      <div class="document-text">
        <ol class="document-numbers" aria-hidden="true">
          <For each={numbers()}>
            {(n) => (
              <li data-mark={marks().get(n)} data-here={n === caretLine() ? '' : undefined}>
                {marks().has(n) ? (marks().get(n) === 'remark' ? '·' : '!') : ''}
                {n}
              </li>
            )}
          </For>
        </ol>
        <textarea
          ref={(element) => {
            area = element
            element.value = text()
          }}
          id={id}
          spellcheck={false}
          autocomplete="off"
          autocapitalize="off"
          wrap="off"
          rows={lines() + 1}
          aria-describedby={`${id}-said`}
          onInput={(e) => desk.write(e.currentTarget.value)}
          onKeyDown={keys}
          onKeyUp={follow}
          onClick={follow}
        />
      </div>
      <div class="document-said" id={`${id}-said`}>
        <Said problems={placed(day()?.problems ?? [])} title={t('problems.title')} lead={lead} kind="problem" />
        <Said problems={placed((day()?.warnings ?? []).filter((w) => w.span))} title={t('problems.remarks')} lead={lead} kind="remark" />
      </div>
    </div>
  )
}

function Said(props: {
  readonly problems: readonly Problem[]
  readonly title: string
  readonly kind: 'problem' | 'remark'
  readonly lead: (line: number, column: number) => void
}) {
  return (
    <Show when={props.problems.length > 0}>
      <h3>{props.title}</h3>
      <ul data-kind={props.kind}>
        <For each={props.problems}>
          {(p) => (
            <li data-danger={p.danger ? '' : undefined}>
              <Show when={p.span} fallback={<strong>{said(p.where)}: </strong>}>
                {(span) => (
                  <button type="button" class="plain" onClick={() => props.lead(span().line, span().column)}>
                    {t('problems.place', { line: span().line })}
                  </button>
                )}
              </Show>{' '}
              <Show when={p.danger}>
                <strong>{t('cautions.refused')}. </strong>
              </Show>
              {said(p.what)}. <span class="quiet">{t('problems.todo', { what: said(p.todo) })}</span>
            </li>
          )}
        </For>
      </ul>
    </Show>
  )
}
