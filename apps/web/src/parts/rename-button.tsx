/** A bottle, solution or vessel called otherwise everywhere in the document: a button, and a small dialog that says what is wrong. */
import type { Problem } from '@beakertide/basis/problems'
import type { Renaming } from '@beakertide/demonstration/edit'
import { createSignal, createUniqueId, For, onMount, Show } from '../framework.ts'
import type { Desk } from '../desk/desk.ts'
import { said, t } from '../words/index.ts'
import './rename-button.css'

export interface RenameButtonProps {
  readonly desk: Desk
  readonly of: Renaming['of']
  readonly name: string
}

const markOf = (of: Renaming['of'], name: string): string => `${of}/${name}`

export function RenameButton(props: RenameButtonProps) {
  const [isOpen, setOpen] = createSignal(false)
  return (
    <>
      <button
        type="button"
        class="plain rename"
        data-renames={markOf(props.of, props.name)}
        aria-label={t(`rename.${props.of}`, { name: props.name })}
        onClick={() => setOpen(true)}
      >
        {t('rename.button')}
      </button>
      <Show when={isOpen()}>
        <RenameDialog {...props} close={() => setOpen(false)} />
      </Show>
    </>
  )
}

function RenameDialog(props: RenameButtonProps & { readonly close: () => void }) {
  const id = createUniqueId()
  let dialog: HTMLDialogElement | undefined
  let field: HTMLInputElement | undefined
  const [problems, setProblems] = createSignal<readonly Problem[]>([])
  onMount(() => {
    dialog?.showModal()
    field?.select()
  })
  const save = async (): Promise<void> => {
    const to = field?.value.trim() ?? ''
    const { of } = props
    const found = await props.desk.rename({ of, from: props.name, to })
    setProblems(found)
    if (found.length > 0) {
      field?.focus()
      return
    }
    props.close()
    // What stood under the old name is drawn anew: the keyboard goes on from the same button.
    requestAnimationFrame(() => {
      const renames = [...document.querySelectorAll<HTMLElement>('[data-renames]')]
      renames.find((button) => button.dataset['renames'] === markOf(of, to))?.focus()
    })
  }
  return (
    <dialog ref={(element) => (dialog = element)} class="rename-dialog" aria-labelledby={`${id}-title`} onClose={() => props.close()}>
      <form
        onSubmit={(e) => {
          e.preventDefault()
          void save()
        }}
      >
        <h2 id={`${id}-title`}>{t(`rename.${props.of}`, { name: props.name })}</h2>
        <label for={id}>{t('rename.newName')}</label>
        <input
          id={id}
          ref={(element) => (field = element)}
          type="text"
          autocomplete="off"
          value={props.name}
          aria-invalid={problems().length > 0 ? 'true' : undefined}
          aria-describedby={problems().length > 0 ? `${id}-fault` : `${id}-hint`}
        />
        <p class="field-hint" id={`${id}-hint`}>
          {t('rename.everywhere')}
        </p>
        <Show when={problems().length > 0}>
          <p class="field-fault" id={`${id}-fault`} role="alert">
            <For each={problems()}>
              {(p) => (
                <span>
                  {said(p.what)}; {said(p.todo)}.
                </span>
              )}
            </For>
          </p>
        </Show>
        <p class="rename-keys">
          <button type="submit" class="main">
            {t('rename.save')}
          </button>
          <button type="button" onClick={() => dialog?.close()}>
            {t('rename.cancel')}
          </button>
        </p>
      </form>
    </dialog>
  )
}
