/** The frame around every page: rail, top bar, cautions, the page itself, and the text beside it. */
import { createEffect, createSignal, Dynamic, ErrorBoundary, lazy, onCleanup, Show, Suspense } from '../framework.ts'
import type { DeskKeeper } from '../desk/create-desk.ts'
import { titleOf } from '../desk/title-of.ts'
import { CautionPanel } from '../parts/caution-panel.tsx'
import { ProblemList } from '../parts/problem-list.tsx'
import { t } from '../words/index.ts'
import { DayBar, DayRail, stopWord } from './day-rail.tsx'
import { Notices } from './notices.tsx'
import { pages } from './pages.ts'
import type { Route } from './route.ts'
import { light } from './settings.ts'
import { TopBar } from './top-bar.tsx'
import { VersionsDialog } from './versions-dialog.tsx'
import './shell.css'

const DocumentPanel = lazy(async () => ({ default: (await import('../parts/document-panel.tsx')).DocumentPanel }))

interface ShellProps {
  readonly keeper: DeskKeeper
  readonly route: Route
  readonly go: (route: Route) => void
  /** A newer program waits. */
  readonly newer: (() => void) | null
}

export function Shell(props: ShellProps) {
  const { desk } = props.keeper
  const [isTextOpen, setTextOpen] = createSignal(false)
  const [isVersionsOpen, setVersionsOpen] = createSignal(false)
  const isOpen = () => desk.key() !== null
  let main: HTMLElement | undefined

  // Ctrl+Z in a text field is the field's own; anywhere else it is the demonstration's.
  const onKey = (event: KeyboardEvent): void => {
    const inField =
      event.target instanceof HTMLElement &&
      event.target.closest('textarea, input:not([type="range"], [type="checkbox"]), [contenteditable]')
    if (inField || !(event.ctrlKey || event.metaKey) || event.altKey) return
    const key = event.key.toLowerCase()
    if (key === 'z' && !event.shiftKey) desk.undo()
    else if (key === 'y' || (key === 'z' && event.shiftKey)) desk.redo()
    else return
    event.preventDefault()
  }
  addEventListener('keydown', onKey)
  onCleanup(() => removeEventListener('keydown', onKey))

  createEffect(() => {
    const open = isOpen() ? titleOf(desk.document().text) || t('shell.untitled') : ''
    document.title = [stopWord(props.route.stop), ...(open === '' ? [] : [open]), 'Beakertide'].join(' · ')
  })
  createEffect<string | undefined>((before) => {
    const { stop } = props.route
    // After a change of page, reading goes on at the page's beginning.
    if (before !== undefined && before !== stop) {
      scrollTo(0, 0)
      main?.focus({ preventScroll: true })
    }
    return stop
  })

  const closeText = (): void => {
    setTextOpen(false)
    // The key that closed it is gone with it.
    document.querySelector<HTMLElement>('.top-text')?.focus()
  }

  return (
    <div class="shell" data-text={isTextOpen() && isOpen() ? '' : undefined}>
      <a
        class="skip"
        href="#page-main"
        onClick={(event) => {
          event.preventDefault()
          main?.focus()
        }}
      >
        {t('shell.skip')}
      </a>
      <TopBar
        keeper={props.keeper}
        isTextOpen={isTextOpen()}
        toggleText={() => setTextOpen((open) => !open)}
        showVersions={() => setVersionsOpen(true)}
      />
      <DayRail desk={desk} route={props.route} go={props.go} />
      <main id="page-main" tabindex="-1" ref={(element) => (main = element)} aria-label={stopWord(props.route.stop)}>
        <Show when={isOpen()}>
          <CautionPanel day={desk.day()} />
        </Show>
        <Show when={light() === 'dim'}>
          <p class="dim-note">{t('shell.dimColours')}</p>
        </Show>
        <Notices keeper={props.keeper} />
        <Show when={props.newer}>
          {(load) => (
            <div class="notices" role="status">
              <div class="notice">
                <p>{t('shell.newer')}</p>
                <button type="button" onClick={() => load()()}>
                  {t('shell.loadAgain')}
                </button>
              </div>
            </div>
          )}
        </Show>
        <ErrorBoundary fallback={(error: unknown, again) => <Fault error={error} again={again} />}>
          <Suspense fallback={<p class="page-wait">{t('shell.loading')}</p>}>
            <Show when={isOpen() || props.route.stop === 'bench' || props.route.stop === 'shelf'} fallback={<NothingOpen />}>
              <Show when={isOpen() && !['bench', 'shelf'].includes(props.route.stop)}>
                <ProblemList problems={(desk.day()?.problems ?? []).filter((p) => p.danger !== true)} title={t('problems.title')} />
              </Show>
              <Dynamic component={pages[props.route.stop]} desk={desk} keeper={props.keeper} go={props.go} />
            </Show>
          </Suspense>
        </ErrorBoundary>
      </main>
      <Show when={isTextOpen() && isOpen()}>
        <aside class="text-side" aria-label={t('shell.text')}>
          <button type="button" class="plain text-close" onClick={closeText}>
            {t('shell.textClose')}
          </button>
          <Suspense fallback={<p class="page-wait">{t('shell.loading')}</p>}>
            <DocumentPanel desk={desk} />
          </Suspense>
        </aside>
      </Show>
      <DayBar desk={desk} route={props.route} go={props.go} />
      <VersionsDialog keeper={props.keeper} isOpen={isVersionsOpen()} close={() => setVersionsOpen(false)} />
    </div>
  )
}

function NothingOpen() {
  return (
    <div class="page-empty">
      <h1>{t('shell.nothingOpen')}</h1>
      <p>{t('shell.nothingOpenTodo')}</p>
      <a class="button main" href="#/bench">
        {t('shell.toBench')}
      </a>
    </div>
  )
}

function Fault(props: { readonly error: unknown; readonly again: () => void }) {
  return (
    <div class="page-empty" role="alert">
      <h1>{t('shell.fault')}</h1>
      <p>{t('shell.faultSaid', { what: props.error instanceof Error ? props.error.message : String(props.error) })}</p>
      <button type="button" class="main" onClick={() => props.again()}>
        {t('shell.faultAgain')}
      </button>
    </div>
  )
}
