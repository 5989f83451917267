// First of all: it states the order of the cascade layers, and whichever file comes first decides it.
import './styles/tokens.css'
import './styles/base.css'
import { createDesk, type DeskKeeper, type EditText, type RenameInText } from './desk/create-desk.ts'
import { createEffect, render } from './framework.ts'
import { keepOffline } from './shell/offline.ts'
import { createRoute } from './shell/route.ts'
import { useKeptSettings } from './shell/settings.ts'
import { Shell } from './shell/shell.tsx'
import { theStore } from './store/store.ts'
import { t } from './words/index.ts'
import { createWork } from './work/create-work.ts'

const renameInText: RenameInText = async (text, renaming) => (await import('./desk/edit-text.ts')).renameInText(text, renaming)
const editText: EditText = async (text, edits) => (await import('./desk/edit-text.ts')).editText(text, edits)

/** From the store, or one of the shipped examples. */
async function openByKey(keeper: DeskKeeper, key: string): Promise<boolean> {
  if (await keeper.open(key)) return true
  const { exampleDocument, exampleOfKey } = await import('./pages/bench/examples.ts')
  const name = exampleOfKey(key)
  const document = name === null ? null : await exampleDocument(name)
  if (document === null) return false
  await keeper.openText(key, document, { example: name, keepNow: false })
  return true
}

async function start(): Promise<void> {
  await useKeptSettings()
  const store = await theStore()
  const root = document.getElementById('page')
  if (!root) return
  render(() => {
    const keeper = createDesk({ work: createWork(), store, editText, renameInText })
    const { route, go } = createRoute()
    const newer = keepOffline()
    // Asked once; the answer stands on the bench.
    void navigator.storage?.persist?.()
    if (!store.isKeeping) keeper.tell({ kind: 'missing', text: t('shell.notKeeping') })
    createEffect(() => {
      const { key } = route()
      if (key !== null && key !== keeper.desk.key()) {
        void openByKey(keeper, key).then((found) => {
          if (found) return
          go({ stop: 'bench', key: null }, true)
          keeper.tell({ kind: 'missing', text: t('shell.missing') })
        })
      }
    })
    return <Shell keeper={keeper} route={route()} go={go} newer={newer()} />
  }, root)
}

void start()
