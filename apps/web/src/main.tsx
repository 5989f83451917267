// First of all: it states the order of the cascade layers, and whichever file comes first decides it.
import './styles/tokens.css'
import './styles/base.css'
import { createDesk } from './desk/create-desk.ts'
import type { EditText } from './desk/create-desk.ts'
import { createEffect, createSignal, render } from './framework.ts'
import { createRoute } from './shell/route.ts'
import { useKeptSettings } from './shell/settings.ts'
import { Shell } from './shell/shell.tsx'
import { theStore } from './store/store.ts'
import { t } from './words/index.ts'
import { createWork } from './work/create-work.ts'

const editors = import.meta.glob('./desk/edit-text.ts') as Readonly<Record<string, () => Promise<{ readonly editText: EditText }>>>
const editText: EditText = async (text, edits) => {
  const load = Object.values(editors)[0]
  if (!load) throw new Error('editing is not there yet')
  return (await load()).editText(text, edits)
}

async function start(): Promise<void> {
  await useKeptSettings()
  const store = await theStore()
  const root = document.getElementById('page')
  if (!root) return
  render(() => {
    const keeper = createDesk({ work: createWork(), store, editText })
    const { route, go } = createRoute()
    const [newer] = createSignal<(() => void) | null>(null)
    createEffect(() => {
      const { key } = route()
      if (key !== null && key !== keeper.desk.key()) {
        void keeper.open(key).then((found) => {
          if (!found) {
            go({ stop: 'bench', key: null }, true)
            keeper.tell({ kind: 'not saved', text: t('shell.missing') })
          }
        })
      }
    })
    return <Shell keeper={keeper} route={route()} go={go} newer={newer()} />
  }, root)
}

void start()
