/**
 * What leaves the printer when the Papers page is open, by our button or by the browser's own: the papers and nothing else. They
 * wait behind the page, shown only in print.
 */
import { type Imprint, type Paper, type PrintChoices, sheetRules } from '@beakertide/core/papers'
import { createEffect, onCleanup, Portal } from '../../framework.ts'
import { PaperView } from '../../parts/paper-view.tsx'
import './printed-papers.css'

export function PrintedPapers(props: { readonly papers: readonly Paper[]; readonly imprint: Imprint; readonly choices: PrintChoices }) {
  // Rules for the sheet of paper hold only in a style sheet of the whole document.
  const sheet = new CSSStyleSheet()
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet]
  createEffect(() => sheet.replaceSync(sheetRules(props.choices)))
  onCleanup(() => {
    document.adoptedStyleSheets = document.adoptedStyleSheets.filter((s) => s !== sheet)
  })
  return (
    <Portal mount={document.body} ref={(e) => (e.className = 'printed-papers')}>
      <PaperView papers={props.papers} imprint={props.imprint} choices={props.choices} />
    </Portal>
  )
}
