/** Above every page: what is open, whether it is kept, undo and redo, and the choices of this browser. */
import { VesselChoice } from '../parts/vessel-choice.tsx'
import { For, onCleanup, Show } from '../framework.ts'
import type { DeskKeeper } from '../desk/create-desk.ts'
import { titleOf } from '../desk/title-of.ts'
import { keepLanguage, type Light, light, lights, chooseLight } from './settings.ts'
import { downloadDocument, saveToFile } from './save-to-file.ts'
import { type Language, language, languages, t } from '../words/index.ts'

interface TopBarProps {
  readonly keeper: DeskKeeper
  readonly isTextOpen: boolean
  readonly toggleText: () => void
  readonly showVersions: () => void
}

/** A menu closes with Escape, and when something is done elsewhere. */
function closing(menu: HTMLDetailsElement): void {
  const close = (): void => {
    menu.open = false
  }
  menu.addEventListener('keydown', (e) => {
    if (e.key !== 'Escape' || !menu.open) return
    close()
    menu.querySelector('summary')?.focus()
  })
  // Before what was chosen is done: a dialog gives the focus back to what had it, and that must still be seen then.
  menu.addEventListener(
    'click',
    (e) => {
      if (!(e.target instanceof Element) || e.target.closest('.menu-sheet button') === null) return
      close()
      menu.querySelector('summary')?.focus()
    },
    { capture: true },
  )
  const elsewhere = (e: Event): void => {
    if (e.target instanceof Node && !menu.contains(e.target)) close()
  }
  addEventListener('pointerdown', elsewhere)
  addEventListener('focusin', elsewhere)
  onCleanup(() => {
    removeEventListener('pointerdown', elsewhere)
    removeEventListener('focusin', elsewhere)
  })
}

export function TopBar(props: TopBarProps) {
  const { desk } = props.keeper
  const isOpen = () => desk.key() !== null
  const savedHow = () => (desk.saved() === 'saved' && !props.keeper.isKeeping ? 'in the tab' : desk.saved())
  const save = async (over = false): Promise<void> => {
    const key = desk.key()
    const saved = await saveToFile(key ?? '', title(), desk.document(), over)
    if (saved.how === 'cancelled' || saved.how === 'downloaded') return
    // Of another demonstration, opened since, nothing was said.
    const action = { label: t('shell.fileOver'), run: () => void (desk.key() === key && save(true)) }
    props.keeper.tell({
      kind: 'file',
      text: t(`shell.file.${saved.how}`, { name: saved.name }),
      ...(saved.how === 'changed' ? { action } : {}),
    })
  }
  const title = () => (isOpen() ? titleOf(desk.document().text) || t('shell.untitled') : t('shell.nothingOpen'))
  return (
    <header class="top-bar">
      <a class="top-name" href="#/bench">
        Beakertide
      </a>
      <p class="top-title" data-open={isOpen() ? '' : undefined} title={title()}>
        {title()}
      </p>
      <Show when={isOpen()}>
        <div class="top-tools">
          <VesselChoice desk={desk} class="top-vessel" label={t('shell.vessel')} />
          {/* Not read out at every change; what could not be saved is, among the notices. */}
          <span class="top-saved" data-saved={savedHow()}>
            {t(`shell.saved.${savedHow()}`)}
          </span>
          <button
            type="button"
            disabled={desk.canUndo() === null}
            title={desk.canUndo() === null ? undefined : t('shell.undoWhat', { what: desk.canUndo() ?? '' })}
            onClick={() => desk.undo()}
          >
            {t('shell.undo')}
          </button>
          <button
            type="button"
            disabled={desk.canRedo() === null}
            title={desk.canRedo() === null ? undefined : t('shell.redoWhat', { what: desk.canRedo() ?? '' })}
            onClick={() => desk.redo()}
          >
            {t('shell.redo')}
          </button>
          <details class="top-menu" ref={closing}>
            <summary class="button">{t('shell.files')}</summary>
            <div class="menu-sheet">
              <button type="button" onClick={() => void save()}>
                {t('shell.saveFile')}
              </button>
              <button type="button" onClick={() => downloadDocument(title(), desk.document())}>
                {t('shell.download')}
              </button>
              <button type="button" onClick={() => props.showVersions()}>
                {t('shell.versions')}
              </button>
            </div>
          </details>
          <button type="button" class="top-text" aria-pressed={props.isTextOpen} onClick={() => props.toggleText()}>
            {t('shell.text')}
          </button>
        </div>
      </Show>
      <details class="top-menu top-settings" ref={closing}>
        <summary class="button">{t('shell.settings')}</summary>
        <div class="menu-sheet">
          <label>
            {t('shell.light')}
            <select value={light()} onChange={(event) => chooseLight(event.currentTarget.value as Light)}>
              <For each={lights}>
                {(one) => (
                  <option value={one} selected={light() === one}>
                    {t(`shell.light.${one}`)}
                  </option>
                )}
              </For>
            </select>
          </label>
          <label>
            {t('shell.language')}
            <select value={language()} onChange={(event) => keepLanguage(event.currentTarget.value as Language)}>
              <For each={Object.entries(languages)}>
                {([tag, name]) => (
                  <option value={tag} selected={language() === tag} lang={tag}>
                    {name}
                  </option>
                )}
              </For>
            </select>
          </label>
          <p class="menu-about">{t('shell.about')}</p>
          <Show when={!('serviceWorker' in navigator)}>
            <p class="menu-about">{t('shell.notOffline')}</p>
          </Show>
        </div>
      </details>
    </header>
  )
}
