/**
 * Papers as they print, in a shadow tree of their own: the styles of the page do not reach them, theirs do not reach the page. Style
 * sheets are made as objects, which the page's security policy allows; the markup is parsed apart and cannot run anything.
 */
import { type Imprint, type Paper, paperMarkup, type PrintChoices, printedStyle } from '@beakertide/core/papers'
import { createEffect, onMount } from '../framework.ts'

export interface PaperViewProps {
  readonly papers: readonly Paper[]
  readonly imprint: Imprint
  readonly choices: PrintChoices
  /** Rules behind those of print: how pages lie on a screen. */
  readonly more?: string
  /** Called when the papers stand in the tree. */
  readonly onDrawn?: (root: ShadowRoot) => void
  readonly class?: string
}

export function PaperView(props: PaperViewProps) {
  let host: HTMLDivElement | undefined
  onMount(() => {
    if (!host) return
    const root = host.attachShadow({ mode: 'open' })
    const style = new CSSStyleSheet()
    root.adoptedStyleSheets = [style]
    createEffect(() => {
      style.replaceSync(`${printedStyle(props.choices)}${props.more ?? ''}`)
      const parsed = new DOMParser().parseFromString(paperMarkup(props.papers, props.imprint, props.choices), 'text/html')
      root.replaceChildren(...Array.from(parsed.body.childNodes, (node) => document.importNode(node, true)))
      props.onDrawn?.(root)
    })
  })
  return <div ref={(e) => (host = e)} class={props.class ?? ''} />
}
