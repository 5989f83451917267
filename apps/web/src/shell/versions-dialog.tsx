/** Earlier texts of the open demonstration, newest first; taking one is a change that can be undone. */
import { createEffect, createSignal, For, Show } from '../framework.ts'
import type { DeskKeeper } from '../desk/create-desk.ts'
import { titleOf } from '../desk/title-of.ts'
import type { KeptVersion } from '../store/kept.ts'
import { language, t } from '../words/index.ts'

export function VersionsDialog(props: { readonly keeper: DeskKeeper; readonly isOpen: boolean; readonly close: () => void }) {
  let dialog: HTMLDialogElement | undefined
  const [versions, setVersions] = createSignal<readonly KeptVersion[]>([])
  createEffect(() => {
    if (!props.isOpen) return
    void props.keeper.versions().then(setVersions)
    dialog?.showModal()
  })
  const when = (at: number): string => new Intl.DateTimeFormat(language(), { dateStyle: 'medium', timeStyle: 'medium' }).format(at)
  const title = () => titleOf(props.keeper.desk.document().text) || t('shell.untitled')
  return (
    <dialog ref={(element) => (dialog = element)} class="versions" aria-labelledby="versions-title" onClose={() => props.close()}>
      <h2 id="versions-title">{t('shell.versionsOf', { title: title() })}</h2>
      <Show when={versions().length > 0} fallback={<p>{t('shell.versionsNone')}</p>}>
        <ul>
          <For each={versions()}>
            {(version) => (
              <li>
                <span>
                  {when(version.at)}, {t(`shell.versionWhy.${version.why}`)}
                </span>
                <button
                  type="button"
                  onClick={() => {
                    props.keeper.takeVersion(version)
                    dialog?.close()
                  }}
                >
                  {t('shell.versionTake')}
                </button>
              </li>
            )}
          </For>
        </ul>
      </Show>
      <button type="button" class="main" onClick={() => dialog?.close()}>
        {t('shell.close')}
      </button>
    </dialog>
  )
}
