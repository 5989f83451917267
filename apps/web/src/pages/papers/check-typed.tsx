/** A recipe typed in from paper is compared with the check line of that paper. */
import { type CheckCodes, compareCheckLine, type Paper, translatePaper, type TypedCheck } from '@beakertide/core/papers'
import type { Desk } from '../../desk/desk.ts'
import { createSignal, For, Match, Show, Switch } from '../../framework.ts'
import { said, t } from '../../words/index.ts'

interface Compared {
  readonly check: TypedCheck
  /** Lines of the document, as on the recipe page. */
  readonly lines: readonly string[]
}

function codesOf(papers: readonly Paper[]): { readonly codes: CheckCodes; readonly lines: readonly string[] } | null {
  for (const block of papers.flatMap((p) => p.blocks)) {
    if (block.block !== 'checked') continue
    const lines = block.groups.flatMap((g) => g.lines)
    return { codes: { page: block.page, lines: lines.map((l) => l.code) }, lines: lines.map((l) => l.text) }
  }
  return null
}

export function CheckTyped(props: { readonly desk: Desk }) {
  const [compared, setCompared] = createSignal<Compared | null>(null)
  let field: HTMLInputElement | undefined
  const compare = async (): Promise<void> => {
    const typed = field?.value ?? ''
    const answer = await props.desk.work.papers(props.desk.document(), ['recipe'])
    const own = answer.ok ? codesOf(answer.value.map((p) => translatePaper(p, said))) : null
    setCompared(own && typed.trim() !== '' ? { check: compareCheckLine(typed, own.codes), lines: own.lines } : null)
  }
  const differing = (c: Compared): readonly string[] => (c.check.same ? [] : c.check.lines.flatMap((at) => c.lines[at] ?? []))
  return (
    <details class="check-typed">
      <summary>{t('papers.compare')}</summary>
      <p>{t('papers.compareLead')}</p>
      <form
        onSubmit={(e) => {
          e.preventDefault()
          void compare()
        }}
      >
        <label>
          {t('papers.compareField')}
          <input ref={(e) => (field = e)} type="text" autocomplete="off" spellcheck={false} autocapitalize="characters" />
        </label>
        <button type="submit">{t('papers.compareDo')}</button>
      </form>
      <div role="status">
        <Show when={compared()}>
          {(c) => (
            <Switch
              fallback={
                <p class="differs">
                  {t('papers.compareOther', {
                    typed: c().check.same ? 0 : (c().check as { linesTyped: number }).linesTyped,
                    here: c().lines.length,
                  })}
                </p>
              }
            >
              <Match when={c().check.same}>
                <p class="agrees">{t('papers.compareSame')}</p>
              </Match>
              <Match when={differing(c()).length > 0}>
                <div class="differs">
                  <p>{t('papers.compareLines')}</p>
                  <ul>
                    <For each={differing(c())}>{(line) => <li>{line}</li>}</For>
                  </ul>
                </div>
              </Match>
            </Switch>
          )}
        </Show>
      </div>
    </details>
  )
}
