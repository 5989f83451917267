/** What a person must know, in sentences, until it is put away. */
import { For, Show } from '../framework.ts'
import type { DeskKeeper } from '../desk/create-desk.ts'
import { titleOf } from '../desk/title-of.ts'
import { t } from '../words/index.ts'
import { downloadDocument } from './save-to-file.ts'

export function Notices(props: { readonly keeper: DeskKeeper }) {
  const { desk } = props.keeper
  return (
    <div class="notices" role="alert">
      <For each={props.keeper.notices()}>
        {(notice) => (
          <div class="notice" data-kind={notice.kind}>
            <p>{notice.text}</p>
            <Show when={notice.kind === 'full' || notice.kind === 'not saved'}>
              <button type="button" class="main" onClick={() => downloadDocument(titleOf(desk.document().text), desk.document())}>
                {t('shell.download')}
              </button>
            </Show>
            <Show when={notice.action}>
              {(action) => (
                <button
                  type="button"
                  onClick={() => {
                    action().run()
                    props.keeper.putAway(notice.id)
                  }}
                >
                  {action().label}
                </button>
              )}
            </Show>
            <button type="button" class="plain" onClick={() => props.keeper.putAway(notice.id)}>
              {t('shell.putAway')}
            </button>
          </div>
        )}
      </For>
    </div>
  )
}
