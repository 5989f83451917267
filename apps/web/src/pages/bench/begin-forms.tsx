/** Ways to begin: from a file, from a mechanism of the catalogue, from a recipe as found. */
import { createSignal, For, lazy, Show, Suspense } from '../../framework.ts'
import { chooseFiles, type ChosenFiles } from '../../shell/save-to-file.ts'
import { said, t } from '../../words/index.ts'
import type { DocumentText, Work } from '../../work/contract.ts'
import { exampleDocument, exampleHeads } from './examples.ts'
import { emptyDocument, retitled } from './new-document.ts'

interface BeginProps {
  readonly work: Work
  readonly begin: (document: DocumentText) => void
  readonly openFiles: (files: readonly File[], remember?: ChosenFiles['remember']) => void
}

const FoundRecipeForm = lazy(async () => ({ default: (await import('../../parts/found-recipe-form.tsx')).FoundRecipeForm }))

export function BeginForms(props: BeginProps) {
  const [mechanisms, setMechanisms] = createSignal<readonly { readonly name: string; readonly title: string }[]>([])
  const [mechanism, setMechanism] = createSignal('')
  const [title, setTitle] = createSignal('')
  const [wantsRecipe, setWantsRecipe] = createSignal(false)
  let files: HTMLInputElement | undefined

  const choose = async (): Promise<void> => {
    const chosen = await chooseFiles()
    if (chosen === undefined) files?.click()
    else if (chosen !== null) props.openFiles(chosen.files, chosen.remember)
  }
  const readCatalogue = async (): Promise<void> => {
    if (mechanisms().length > 0) return
    const choices = await props.work.choices()
    setMechanisms(choices.mechanisms)
    setMechanism(choices.mechanisms[0]?.name ?? '')
  }
  async function beginFromMechanism(): Promise<void> {
    const name = mechanism()
    const wanted = title().trim() || t('bench.new')
    const family = name.split('/')[0]
    const example = exampleHeads.find((head) => head.reaction === name || head.reaction === family)
    const shipped = example ? await exampleDocument(example.name) : null
    props.begin(
      shipped === null ? { text: emptyDocument(wanted, name), beside: {} } : { ...shipped, text: retitled(shipped.text, wanted, name) },
    )
  }

  return (
    <section class="bench-begin" aria-labelledby="bench-begin">
      <h2 id="bench-begin" tabindex="-1">
        {t('bench.begin')}
      </h2>
      <div class="begin-way">
        <input
          ref={(element) => (files = element)}
          class="unseen"
          tabindex="-1"
          aria-hidden="true"
          type="file"
          multiple
          accept=".yaml,.yml,.xml,.sbml,.txt"
          onChange={(event) => {
            const chosen = [...(event.currentTarget.files ?? [])]
            event.currentTarget.value = ''
            if (chosen.length > 0) props.openFiles(chosen)
          }}
        />
        <button type="button" onClick={() => void choose()}>
          {t('bench.fromFile')}
        </button>
        <p>{t('bench.fromFileHint')}</p>
      </div>
      <details class="begin-way" onToggle={(event) => event.currentTarget.open && void readCatalogue()}>
        <summary class="button">{t('bench.fromMechanism')}</summary>
        <form
          onSubmit={(event) => {
            event.preventDefault()
            void beginFromMechanism()
          }}
        >
          <p>{t('bench.fromMechanismHint')}</p>
          <Show when={mechanisms().length > 0} fallback={<p role="status">{t('bench.choosing')}</p>}>
            <label>
              {t('bench.mechanism')}
              <select value={mechanism()} onChange={(event) => setMechanism(event.currentTarget.value)}>
                <For each={mechanisms()}>
                  {(one) => (
                    <option value={one.name} selected={one.name === mechanism()}>
                      {said(one.title)} ({one.name})
                    </option>
                  )}
                </For>
              </select>
            </label>
            <label>
              {t('bench.newTitle')}
              <input
                value={title()}
                maxlength="120"
                placeholder={t('bench.new')}
                onInput={(event) => setTitle(event.currentTarget.value)}
              />
            </label>
            <button type="submit" class="main">
              {t('bench.make')}
            </button>
          </Show>
        </form>
      </details>
      <details class="begin-way" onToggle={(event) => event.currentTarget.open && setWantsRecipe(true)}>
        <summary class="button">{t('bench.fromRecipe')}</summary>
        <Show when={wantsRecipe()}>
          <Suspense fallback={<p role="status">{t('shell.loading')}</p>}>
            <FoundRecipeForm work={props.work} onMade={(text) => props.begin({ text, beside: {} })} />
          </Suspense>
        </Show>
      </details>
    </section>
  )
}
