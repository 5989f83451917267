/** Which demonstrations the shelf is good for, and what is missing for the others. */
import type { ShelfFit } from '@beakertide/demonstration'
import { createEffect, createSignal, For, Show } from '../../framework.ts'
import type { DeskKeeper } from '../../desk/create-desk.ts'
import type { Desk } from '../../desk/desk.ts'
import { documentBottle, leftOf } from '../../parts/shelf-bottles.ts'
import type { Route } from '../../shell/route.ts'
import type { ShelfRecord } from '../../store/shelf-record.ts'
import { theStore } from '../../store/store.ts'
import { said, t } from '../../words/index.ts'
import { formatNumber } from '../../words/numbers.ts'
import type { DocumentText } from '../../work/contract.ts'
import { exampleDocument, exampleHeads, exampleKey } from '../bench/examples.ts'

interface Candidate {
  readonly key: string
  readonly title: string
  readonly document: DocumentText
  readonly example: string | null
}
interface Row extends Candidate {
  readonly fit: ShelfFit | null
}

const ORDER: Readonly<Record<ShelfFit['state'], number>> = { 'can be done': 0, look: 1, 'something is missing': 2 }
const stateWords: Readonly<Record<ShelfFit['state'], () => string>> = {
  'can be done': () => t('shelf.fit.yes'),
  look: () => t('shelf.fit.look'),
  'something is missing': () => t('shelf.fit.missing'),
}

/** Mine first, then the examples that I have not changed. */
async function candidates(): Promise<readonly Candidate[]> {
  const mine = (await (await theStore()).demonstrations()).filter((d) => d.deletedAt === null)
  const own = mine.map((d) => ({ key: d.key, title: d.title || t('shell.untitled'), document: d.document, example: d.example }))
  const shipped = await Promise.all(
    exampleHeads
      .filter((head) => !mine.some((d) => d.key === exampleKey(head.name)))
      .map(async (head) => ({
        key: exampleKey(head.name),
        title: head.title,
        document: (await exampleDocument(head.name)) ?? { text: '', beside: {} },
        example: head.name,
      })),
  )
  return [...own, ...shipped]
}

export function FitSection(props: {
  readonly desk: Desk
  readonly keeper: DeskKeeper
  readonly go: (route: Route) => void
  readonly records: readonly ShelfRecord[]
  readonly names: ReadonlyMap<string, string>
}) {
  const [rows, setRows] = createSignal<readonly Row[] | null>(null)
  let asked = 0
  createEffect(() => {
    const stock = props.records.map((r) => ({ id: props.names.get(r.id) ?? r.id, written: documentBottle(r), left: leftOf(r) }))
    const mine = ++asked
    void (async () => {
      const all = await candidates()
      const fits = await props.desk.work.fitShelf(
        all.map(({ key, document }) => ({ key, document })),
        stock,
      )
      if (mine !== asked || !Array.isArray(fits)) return
      const found = all.map((c): Row => ({ ...c, fit: fits.find((f) => f.key === c.key)?.fit ?? null }))
      setRows([...found].sort((a, b) => rankOf(a) - rankOf(b) || missingOf(a).length - missingOf(b).length))
    })()
  })
  const open = async (row: Row): Promise<void> => {
    if (!(await props.keeper.open(row.key))) await props.keeper.openText(row.key, row.document, { example: row.example, keepNow: false })
    props.go({ stop: 'makeup', key: row.key })
  }
  return (
    <section class="shelf-fit" aria-labelledby="shelf-fit">
      <h2 id="shelf-fit">{t('shelf.fit.title')}</h2>
      <p class="lead">{t('shelf.fit.lead')}</p>
      <Show when={rows()} fallback={<p role="status">{t('shelf.fit.working')}</p>}>
        {(list) => (
          <ul>
            <For each={list()}>
              {(row) => (
                <li data-state={row.fit?.state}>
                  <p>
                    <button type="button" class="plain fit-title" onClick={() => void open(row)}>
                      {row.title}
                    </button>{' '}
                    <span class="fit-state">{row.fit ? stateWords[row.fit.state]() : t('shelf.fit.unreadable')}</span>
                  </p>
                  <Show when={missingOf(row).length > 0}>
                    <p class="fit-missing">{missingOf(row).join('; ')}</p>
                  </Show>
                </li>
              )}
            </For>
          </ul>
        )}
      </Show>
    </section>
  )
}

const rankOf = (row: Row): number => (row.fit ? ORDER[row.fit.state] : 3)

/** What keeps it from being done, bottle by bottle. */
function missingOf(row: Row): readonly string[] {
  return (row.fit?.bottles ?? []).flatMap((b) => {
    const need = b.needMl === null ? `${formatNumber(b.needG, 3)} g` : `${formatNumber(b.needMl, 3)} mL`
    if (b.state === 'missing') return [t('shelf.fit.no', { substance: said(b.substance) })]
    if (b.state === 'too little') return [t('shelf.fit.tooLittle', { substance: said(b.substance), need })]
    if (b.state === 'does not serve') return [t('shelf.fit.doesNotServe', { substance: said(b.substance), why: said(b.why) })]
    return b.state === 'unsure' ? [t('shelf.fit.unsure', { substance: said(b.substance), need: b.needG > 0 ? need : '?' })] : []
  })
}
