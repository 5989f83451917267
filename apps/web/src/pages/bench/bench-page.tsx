/** The bench: my demonstrations and the shipped examples with their colour strips; beginning, copying, deleting, finding. */
import { createMemo, createSignal, For, onCleanup, onMount, Show } from '../../framework.ts'
import { type DeskKeeper, newKey } from '../../desk/create-desk.ts'
import type { Desk } from '../../desk/desk.ts'
import { StripImage, pictureWords } from '../../parts/strip-picture.tsx'
import type { Route } from '../../shell/route.ts'
import { type ChosenFiles, readFiles } from '../../shell/save-to-file.ts'
import type { KeptDemonstration, Store } from '../../store/kept.ts'
import { theStore } from '../../store/store.ts'
import { language, said, t } from '../../words/index.ts'
import { formatFixed } from '../../words/numbers.ts'
import type { DocumentText } from '../../work/contract.ts'
import { BeginForms } from './begin-forms.tsx'
import { exampleDocument, exampleHeads, exampleKey } from './examples.ts'
import { picturesOf } from './kept-pictures.ts'
import { retitled } from './new-document.ts'
import type { StripPicture } from './strip-picture.ts'
import './bench-page.css'

interface BenchProps {
  readonly desk: Desk
  readonly keeper: DeskKeeper
  readonly go: (route: Route) => void
}

export function BenchPage(props: BenchProps) {
  const [store, setStore] = createSignal<Store | null>(null)
  const [kept, setKept] = createSignal<readonly KeptDemonstration[]>([])
  const [wanted, setWanted] = createSignal('')
  const [room, setRoom] = createSignal<Awaited<ReturnType<Store['room']>>>(null)
  const [pictures, setPictures] = createSignal<ReadonlyMap<string, readonly StripPicture[]>>(new Map())
  let gone = false

  async function refresh(): Promise<void> {
    const opened = store() ?? (await theStore())
    setStore(opened)
    const all = await opened.demonstrations()
    if (gone) return
    setKept(all)
    setRoom(await opened.room())
    for (const one of all.filter((d) => d.deletedAt === null)) {
      const made = await picturesOf(one.document, props.desk.work)
      if (gone) return
      setPictures((before) => new Map(before).set(one.key, made))
    }
  }
  onMount(() => {
    void refresh()
    let stop: (() => void) | undefined
    void theStore().then((opened) => {
      if (!gone) stop = opened.watch(() => void refresh())
    })
    onCleanup(() => {
      gone = true
      stop?.()
    })
  })

  const matches = (...texts: readonly string[]): boolean => {
    const words = wanted().toLowerCase().split(/\s+/).filter(Boolean)
    const all = texts.join(' ').toLowerCase()
    return words.every((word) => all.includes(word))
  }
  const mine = createMemo(() => kept().filter((d) => d.deletedAt === null && matches(d.title, d.document.text)))
  const bin = createMemo(() => kept().filter((d) => d.deletedAt !== null))
  const examples = createMemo(() => exampleHeads.filter((head) => matches(head.title, head.story, head.reaction)))

  async function openExample(name: string): Promise<void> {
    const key = exampleKey(name)
    if (!(await props.keeper.open(key))) {
      const document = await exampleDocument(name)
      if (document === null) return
      await props.keeper.openText(key, document, { example: name, keepNow: false })
    }
    props.go({ stop: 'rehearsal', key })
  }
  async function openKept(key: string): Promise<void> {
    if (await props.keeper.open(key)) props.go({ stop: 'rehearsal', key })
  }
  async function begin(document: DocumentText, stop: Route['stop'] = 'makeup'): Promise<void> {
    const key = newKey()
    await props.keeper.openText(key, document, { example: null, keepNow: true })
    props.go({ stop, key })
  }
  async function duplicate(document: DocumentText, title: string): Promise<void> {
    const opened = await theStore()
    const named = t('bench.copyOf', { title })
    await opened.save(newKey(), { ...document, text: retitled(document.text, named) }, named, 0, null)
    await refresh()
  }
  async function duplicateExample(name: string, title: string): Promise<void> {
    const document = await exampleDocument(name)
    if (document !== null) await duplicate(document, title)
  }
  async function remove(one: KeptDemonstration): Promise<void> {
    const opened = await theStore()
    await opened.setDeleted(one.key, true)
    if (props.desk.key() === one.key) {
      props.keeper.close()
      props.go({ stop: 'bench', key: null })
    }
    props.keeper.tell({
      kind: 'deleted',
      text: t('bench.deleted', { title: one.title || t('shell.untitled') }),
      action: { label: t('bench.deleteBack'), run: () => void bringBack(one.key) },
    })
    await refresh()
  }
  async function bringBack(key: string): Promise<void> {
    await (await theStore()).setDeleted(key, false)
    await refresh()
  }
  async function openFiles(files: readonly File[], remember?: ChosenFiles['remember']): Promise<void> {
    const read = await readFiles(files)
    if (read.ok) {
      await begin(read.document, 'rehearsal')
      const key = props.desk.key()
      if (key !== null) remember?.(key, read.name)
      return
    }
    const keys = {
      'too large': 'bench.tooLarge',
      'no document': 'bench.noDocument',
      'several documents': 'bench.severalDocuments',
      unreadable: 'bench.unreadable',
    } as const
    props.keeper.tell({ kind: 'file', text: t(keys[read.why], { name: read.name }) })
  }

  /** The ways to begin stand below all examples: on from there by keyboard too. */
  const toBeginning = (): void => {
    const heading = document.getElementById('bench-begin')
    heading?.scrollIntoView()
    heading?.focus({ preventScroll: true })
  }
  const when = (at: number): string => new Intl.DateTimeFormat(language(), { dateStyle: 'medium', timeStyle: 'short' }).format(at)
  const megabytes = (bytes: number): string => formatFixed(bytes / 1e6, bytes < 1e7 ? 1 : 0)

  return (
    <div
      class="bench-page"
      onDragOver={(event) => event.preventDefault()}
      onDrop={(event) => {
        event.preventDefault()
        void openFiles([...(event.dataTransfer?.files ?? [])])
      }}
    >
      <header class="bench-head">
        <h1>{t('bench.title')}</h1>
        <p>{t('bench.lead')}</p>
        <button type="button" class="bench-jump" onClick={toBeginning}>
          {t('bench.toBegin')}
        </button>
        <label class="bench-search">
          <span class="unseen">{t('bench.search')}</span>
          <input type="search" placeholder={t('bench.search')} value={wanted()} onInput={(event) => setWanted(event.currentTarget.value)} />
        </label>
      </header>

      <Show when={kept().length > 0}>
        <section aria-labelledby="bench-mine">
          <h2 id="bench-mine">{t('bench.mine')}</h2>
          <ul class="bench-list">
            <For each={mine()}>
              {(one) => (
                <Row
                  title={one.title || t('shell.untitled')}
                  sub={[t('bench.changed', { when: when(one.changedAt) }), ...(one.example === null ? [] : [t('bench.fromExample')])].join(
                    ', ',
                  )}
                  pictures={pictures().get(one.key) ?? null}
                  isOpen={props.desk.key() === one.key}
                  open={() => void openKept(one.key)}
                  duplicate={() => void duplicate(one.document, one.title || t('shell.untitled'))}
                  remove={() => void remove(one)}
                />
              )}
            </For>
          </ul>
          <Show when={bin().length > 0}>
            <details class="bench-bin">
              <summary>{t('bench.bin', { n: bin().length })}</summary>
              <ul>
                <For each={bin()}>
                  {(one) => (
                    <li>
                      {one.title || t('shell.untitled')}{' '}
                      <button type="button" onClick={() => void bringBack(one.key)}>
                        {t('bench.deleteBack')}
                      </button>
                    </li>
                  )}
                </For>
              </ul>
            </details>
          </Show>
        </section>
      </Show>

      <section aria-labelledby="bench-examples">
        <h2 id="bench-examples">{t('bench.examples')}</h2>
        <Show when={examples().length > 0 || mine().length > 0} fallback={<p>{t('bench.noneFound', { what: wanted() })}</p>}>
          <ul class="bench-list">
            <For each={examples()}>
              {(head) => (
                <Row
                  title={head.title}
                  sub={said(head.story)}
                  pictures={head.pictures}
                  isOpen={props.desk.key() === exampleKey(head.name)}
                  open={() => void openExample(head.name)}
                  duplicate={() => void duplicateExample(head.name, head.title)}
                />
              )}
            </For>
          </ul>
        </Show>
        <Show when={kept().length === 0}>
          <p class="bench-hint">{t('bench.mineEmpty')}</p>
        </Show>
      </section>

      <BeginForms
        work={props.desk.work}
        begin={(document) => void begin(document)}
        openFiles={(files, remember) => void openFiles(files, remember)}
      />

      <Show when={room()}>
        {(now) => (
          <p class="bench-room">
            {t('bench.room', { used: megabytes(now().used), allowed: megabytes(now().allowed) })}{' '}
            {now().isPersistent ? t('bench.roomSafe') : t('bench.roomUnsafe')}
          </p>
        )}
      </Show>
    </div>
  )
}

interface RowProps {
  readonly title: string
  readonly sub: string
  /** Null while they are computed. */
  readonly pictures: readonly StripPicture[] | null
  readonly isOpen: boolean
  readonly open: () => void
  readonly duplicate: () => void
  readonly remove?: () => void
}

function Row(props: RowProps) {
  return (
    <li class="bench-row">
      <div class="bench-words">
        <h3>
          <button type="button" class="bench-open" onClick={() => props.open()} aria-label={t('bench.openNamed', { title: props.title })}>
            {props.title}
          </button>
          <Show when={props.isOpen}>
            <span class="bench-now"> {t('bench.isOpen')}</span>
          </Show>
        </h3>
        <p>{props.sub}</p>
      </div>
      <div class="bench-strips">
        <Show when={props.pictures} fallback={<p class="bench-wait">{t('bench.computing')}</p>}>
          {(pictures) => (
            <Show when={pictures().length > 0} fallback={<p class="bench-wait">{t('bench.noStrip')}</p>}>
              <For each={pictures()}>
                {(picture) => (
                  <figure>
                    <StripImage picture={picture} />
                    <figcaption>
                      {pictures().length > 1 ? `${t('bench.vessel', { vessel: picture.vessel })}: ` : ''}
                      {pictureWords(picture)}
                    </figcaption>
                  </figure>
                )}
              </For>
            </Show>
          )}
        </Show>
      </div>
      <div class="bench-acts">
        <button type="button" onClick={() => props.duplicate()} aria-label={t('bench.duplicateNamed', { title: props.title })}>
          {t('bench.duplicate')}
        </button>
        <Show when={props.remove}>
          {(remove) => (
            <button type="button" onClick={() => remove()()} aria-label={t('bench.deleteNamed', { title: props.title })}>
              {t('bench.delete')}
            </button>
          )}
        </Show>
      </div>
    </li>
  )
}
