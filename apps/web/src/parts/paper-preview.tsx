/** Papers page by page, side by side as they will leave the printer, scaled to the room there is. */
import type { Imprint, Paper, PrintChoices } from '@beakertide/core/papers'
import { createSignal, onCleanup, onMount } from '../framework.ts'
import { t } from '../words/index.ts'
import { PaperView } from './paper-view.tsx'

/** mm of the papers; margins as the page rules of core/papers have them. */
const PAPERS = { A4: [210, 297], letter: [215.9, 279.4] } as const
const MARGIN = { x: 14, y: 11 } as const
const PX_PER_MM = 96 / 25.4
/** Letters larger than printed help nobody: from here on a second page stands beside the first. */
const LARGEST_ZOOM = 1.2

/** Columns are pages: text breaks between them as it does between sheets. */
function previewRules(paper: keyof typeof PAPERS, zoom: number): string {
  const [width, height] = PAPERS[paper]
  return `
:host{display:block}
.paper{zoom:${zoom.toFixed(3)};overflow-x:auto;margin:0 0 18px;padding:1px}
.paper:focus-visible{outline:2px solid #23407c;outline-offset:2px}
.flow{box-sizing:border-box;width:calc(var(--pages,1)*${width}mm);height:${height}mm;padding:${MARGIN.y}mm ${MARGIN.x}mm;columns:${width - 2 * MARGIN.x}mm auto;column-gap:${2 * MARGIN.x}mm;column-fill:auto;column-rule:1px dashed #b9b2a3;background:#fff;outline:1px solid #b9b2a3}
.label-page{outline:1px solid #b9b2a3;margin-top:18px}
.label{outline:.2mm dotted #999}
`
}

export interface PaperPreviewProps {
  readonly papers: readonly Paper[]
  readonly imprint: Imprint
  readonly choices: PrintChoices
}

export function PaperPreview(props: PaperPreviewProps) {
  let frame: HTMLDivElement | undefined
  const [zoom, setZoom] = createSignal(1)
  const paper = (): keyof typeof PAPERS => props.choices.paper ?? 'A4'
  onMount(() => {
    if (!frame) return
    const watched = frame
    // Whole pages fill the row, so that the edge of the last one shown is the edge of the room.
    const fit = (): void => {
      const room = (watched.clientWidth - 4) / (PAPERS[paper()][0] * PX_PER_MM)
      setZoom(room / Math.max(1, Math.ceil(room / LARGEST_ZOOM)))
    }
    fit()
    const size = new ResizeObserver(fit)
    size.observe(watched)
    onCleanup(() => size.disconnect())
  })
  /** Counts the pages of each paper and makes its row as long as they are. */
  const paginate = (root: ShadowRoot): void => {
    for (const section of root.querySelectorAll<HTMLElement>('.paper')) {
      const flow = section.querySelector<HTMLElement>('.flow')
      if (!flow) continue
      flow.style.setProperty('--pages', '1')
      const pages = Math.max(1, Math.ceil(flow.scrollWidth / (PAPERS[paper()][0] * PX_PER_MM)))
      flow.style.setProperty('--pages', String(pages))
      const all = pages + section.querySelectorAll('.label-page').length
      section.dataset['pages'] = String(all)
      // A row that scrolls must be reached by keyboard and have a name.
      section.tabIndex = 0
      section.setAttribute('role', 'region')
      section.setAttribute('aria-label', `${section.querySelector('h1')?.textContent ?? ''}, ${t('papers.pages', { n: all })}`)
    }
  }
  return (
    <div class="paper-preview" ref={(e) => (frame = e)}>
      <PaperView
        papers={props.papers}
        imprint={props.imprint}
        choices={props.choices}
        more={previewRules(paper(), zoom())}
        onDrawn={(root) => {
          paginate(root)
          // Letters that arrive later are of another width.
          void document.fonts.ready.then(() => paginate(root))
        }}
      />
    </div>
  )
}
