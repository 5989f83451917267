/**
 * The reaction network drawn: species and steps, lines as wide as the reaction runs at the time looked at, the ruling path by weight and
 * by label. Widths follow the time outside the framework.
 */
import type { Reign } from '@beakertide/core/mechanism'
import type { RatesAlong } from '@beakertide/demonstration'
import { createEffect, createMemo, createSignal, For, onCleanup, onMount, Show } from '../framework.ts'
import { said, t } from '../words/index.ts'
import { formatNumber } from '../words/numbers.ts'
import { type Charges, speciesText } from './chemical-words.ts'
import { largestRate, lineWidth, type NetworkGraph, nodeKey, ratesAt, rulingSteps } from './network-graph.ts'
import { layOut, type NetworkLayout, pathOf } from './network-layout.ts'
import { panBox, type ViewBox, wholeBox, zoomBox } from './network-view-box.ts'
import type { TimeStage } from './time-stage.ts'
import './network-drawing.css'

export interface NetworkDrawingProps {
  readonly stage: TimeStage
  readonly graph: NetworkGraph
  readonly along: RatesAlong
  readonly reigns: readonly Reign[]
  readonly charges: Charges
  /** Species whose lines are shown stronger; null for none. */
  readonly followed: string | null
  readonly onFollow: (species: string | null) => void
  readonly label: string
}

/** "makes I₂ 86 %" */
function rulesWords(reigns: readonly Reign[], charges: Charges): string {
  return reigns
    .map((r) =>
      t(r.role === 'makes' ? 'reasons.makesShare' : 'reasons.usesShare', {
        species: speciesText(r.species, charges),
        share: formatNumber(100 * r.share, 2),
      }),
    )
    .join(', ')
}

export function NetworkDrawing(props: NetworkDrawingProps) {
  const [laid, setLaid] = createSignal<{ readonly of: NetworkGraph; readonly layout: NetworkLayout } | null>(null)
  const [failed, setFailed] = createSignal(false)
  createEffect(() => {
    const graph = props.graph
    let isWanted = true
    layOut(graph, matchMedia('(min-width: 50rem)').matches ? 'across' : 'down').then(
      (layout) => isWanted && setLaid({ of: graph, layout }),
      () => isWanted && setFailed(true),
    )
    onCleanup(() => {
      isWanted = false
    })
  })
  return (
    <Show when={laid()} fallback={<p class="quiet">{failed() ? t('reasons.layoutFailed') : t('reasons.layingOut')}</p>} keyed>
      {(l) => <Drawn {...props} graph={l.of} layout={l.layout} />}
    </Show>
  )
}

function Drawn(props: NetworkDrawingProps & { readonly layout: NetworkLayout }) {
  let host!: HTMLDivElement
  const paths: SVGPathElement[] = []
  const rules = new Map<string, SVGTextElement>()
  const boxes = new Map<string, SVGGElement>()
  const largest = createMemo(() => largestRate(props.along))
  const [box, setBox] = createSignal<ViewBox>({ x: 0, y: 0, width: props.layout.width, height: props.layout.height })
  const whole = (): ViewBox => wholeBox(props.layout, { width: host.clientWidth, height: host.clientHeight })
  const middle = (): { readonly x: number; readonly y: number } => ({ x: box().x + box().width / 2, y: box().y + box().height / 2 })

  /** Widths, directions and rulers at the time looked at. */
  let drawnAt = Number.NaN
  const draw = (): void => {
    const { nowS } = props.stage
    if (nowS === drawnAt) return
    drawnAt = nowS
    const rates = ratesAt(props.along, nowS)
    const ruling = rulingSteps(props.reigns, nowS)
    props.graph.lines.forEach((line, i) => {
      const path = paths[i]
      if (!path) return
      const rate = rates[line.step] ?? 0
      const isRuling = (ruling.get(line.step) ?? []).some((r) => r.species === line.species)
      path.setAttribute('stroke-width', lineWidth(rate, largest()).toFixed(2))
      path.setAttribute('marker-end', rate >= 0 ? 'url(#arrow)' : '')
      path.setAttribute('marker-start', rate < 0 ? 'url(#arrow)' : '')
      path.toggleAttribute('data-ruling', isRuling)
    })
    for (const [step, text] of rules) {
      const reigns = ruling.get(step) ?? []
      text.textContent = rulesWords(reigns, props.charges)
      boxes.get(step)?.toggleAttribute('data-ruling', reigns.length > 0)
    }
  }
  const key = (e: KeyboardEvent): void => {
    const step = box().width / 10
    const moves: Readonly<Record<string, () => ViewBox>> = {
      ArrowLeft: () => panBox(box(), whole(), -step, 0),
      ArrowRight: () => panBox(box(), whole(), step, 0),
      ArrowUp: () => panBox(box(), whole(), 0, -step),
      ArrowDown: () => panBox(box(), whole(), 0, step),
      '+': () => zoomBox(box(), whole(), 0.7, middle()),
      '=': () => zoomBox(box(), whole(), 0.7, middle()),
      '-': () => zoomBox(box(), whole(), 1 / 0.7, middle()),
      0: whole,
    }
    const move = moves[e.key]
    if (!move || e.ctrlKey || e.metaKey || e.altKey) return
    e.preventDefault()
    setBox(move())
  }
  onMount(() => {
    setBox(whole())
    const end = props.stage.subscribe(draw)
    createEffect(() => {
      void props.reigns
      void props.along
      drawnAt = Number.NaN
      props.stage.touch()
    })
    const size = new ResizeObserver(() => setBox(whole()))
    size.observe(host)
    const point = (e: { readonly clientX: number; readonly clientY: number }) => {
      const r = host.getBoundingClientRect()
      const b = box()
      return { x: b.x + ((e.clientX - r.left) / r.width) * b.width, y: b.y + ((e.clientY - r.top) / r.height) * b.height }
    }
    const hands = new Map<number, PointerEvent>()
    const down = (e: PointerEvent): void => {
      hands.set(e.pointerId, e)
    }
    const move = (e: PointerEvent): void => {
      const before = hands.get(e.pointerId)
      if (!before) return
      if (!host.hasPointerCapture(e.pointerId) && Math.hypot(e.clientX - before.clientX, e.clientY - before.clientY) > 4)
        host.setPointerCapture(e.pointerId)
      if (!host.hasPointerCapture(e.pointerId)) return
      const other = [...hands.values()].find((h) => h.pointerId !== e.pointerId)
      const scale = box().width / host.clientWidth
      if (other) {
        const far = (a: PointerEvent, b: PointerEvent): number => Math.max(20, Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY))
        setBox(zoomBox(box(), whole(), far(before, other) / far(e, other), point(e)))
      } else setBox(panBox(box(), whole(), (before.clientX - e.clientX) * scale, (before.clientY - e.clientY) * scale))
      hands.set(e.pointerId, e)
    }
    const up = (e: PointerEvent): void => void hands.delete(e.pointerId)
    const wheel = (e: WheelEvent): void => {
      if (!e.ctrlKey) return
      e.preventDefault()
      setBox(zoomBox(box(), whole(), e.deltaY > 0 ? 1.2 : 1 / 1.2, point(e)))
    }
    host.addEventListener('pointerdown', down)
    host.addEventListener('pointermove', move)
    host.addEventListener('pointerup', up)
    host.addEventListener('pointercancel', up)
    host.addEventListener('wheel', wheel, { passive: false })
    onCleanup(() => {
      end()
      size.disconnect()
    })
  })
  const isFollowed = (species: string): boolean => props.followed === species
  return (
    <>
      <div class="network-tools" role="group" aria-label={t('reasons.networkTools')}>
        <button type="button" onClick={() => setBox(zoomBox(box(), whole(), 0.7, middle()))}>
          {t('rehearsal.closer')}
        </button>
        <button type="button" onClick={() => setBox(zoomBox(box(), whole(), 1 / 0.7, middle()))}>
          {t('rehearsal.wider')}
        </button>
        <button type="button" onClick={() => setBox(whole())}>
          {t('rehearsal.whole')}
        </button>
        <label>
          {t('reasons.follow')}{' '}
          <select onChange={(e) => props.onFollow(e.currentTarget.value === '' ? null : e.currentTarget.value)}>
            <option value="" selected={props.followed === null}>
              {t('reasons.followNone')}
            </option>
            <For each={props.graph.nodes.filter((n) => n.kind === 'species')}>
              {(n) => (
                <option value={n.id} selected={isFollowed(n.id)}>
                  {speciesText(n.id, props.charges)}
                  {n.kind === 'species' && n.name !== n.id ? ` (${said(n.name)})` : ''}
                </option>
              )}
            </For>
          </select>
        </label>
      </div>
      <div
        ref={(element) => (host = element)}
        class="network"
        role="application"
        tabindex="0"
        aria-roledescription={t('reasons.networkPicture')}
        aria-label={props.label}
        onKeyDown={key}
      >
        <svg
          viewBox={`${box().x} ${box().y} ${box().width} ${box().height}`}
          aria-hidden="true"
          data-width={props.layout.width}
          data-height={props.layout.height}
          data-following={props.followed === null ? undefined : ''}
        >
          <defs>
            <marker
              id="arrow"
              viewBox="0 0 8 8"
              refX="7"
              refY="4"
              markerWidth="13"
              markerHeight="13"
              markerUnits="userSpaceOnUse"
              orient="auto-start-reverse"
            >
              <path d="M0 0.8L8 4L0 7.2z" class="arrow" />
            </marker>
          </defs>
          <g class="network-lines">
            <For each={props.graph.lines}>
              {(line, i) => (
                <path
                  ref={(element) => (paths[i()] = element)}
                  d={pathOf(props.layout.routes[i()] ?? [])}
                  data-followed={isFollowed(line.species) ? '' : undefined}
                />
              )}
            </For>
          </g>
          <For each={props.graph.nodes}>
            {(node) => {
              const at = props.layout.places[nodeKey(node)]!
              return (
                <g
                  ref={(element) => node.kind === 'step' && boxes.set(node.id, element)}
                  class={node.kind === 'species' ? 'network-species' : 'network-step'}
                  data-coloured={node.kind === 'species' && node.coloured ? '' : undefined}
                  data-followed={node.kind === 'species' && isFollowed(node.id) ? '' : undefined}
                  transform={`translate(${at.x} ${at.y})`}
                  onClick={() => node.kind === 'species' && props.onFollow(isFollowed(node.id) ? null : node.id)}
                >
                  <rect
                    x={-at.width / 2}
                    y={-at.height / 2}
                    width={at.width}
                    height={at.height}
                    rx={node.kind === 'species' ? at.height / 2 : 1}
                  />
                  <text y="5">{node.kind === 'species' ? speciesText(node.id, props.charges) : said(node.id).slice(0, 22)}</text>
                  <Show when={node.kind === 'step'}>
                    <text class="network-rule" y={-at.height / 2 - 6} ref={(element) => rules.set(node.id, element)} />
                  </Show>
                </g>
              )
            }}
          </For>
        </svg>
      </div>
    </>
  )
}

/** The drawing as text that stands alone: widths as they are now, colours for paper. */
export function networkFigure(svg: SVGSVGElement): string {
  const copy = svg.cloneNode(true) as SVGSVGElement
  const layout = { width: Number(svg.dataset['width'] ?? 0), height: Number(svg.dataset['height'] ?? 0) }
  copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg')
  copy.setAttribute('viewBox', `0 0 ${layout.width} ${layout.height}`)
  copy.setAttribute('width', String(Math.ceil(layout.width)))
  copy.setAttribute('height', String(Math.ceil(layout.height)))
  copy.setAttribute('font-family', "'Source Sans 3', 'DejaVu Sans', sans-serif")
  copy.removeAttribute('aria-hidden')
  const paint = (selector: string, attributes: Readonly<Record<string, string>>): void => {
    for (const element of copy.querySelectorAll(selector))
      for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value)
  }
  paint('.network-lines path', { fill: 'none', stroke: '#8b8474' })
  paint('.network-lines path[data-ruling]', { stroke: '#1f1c18' })
  paint('.arrow', { fill: '#1f1c18' })
  paint('rect', { fill: '#ffffff', stroke: '#1f1c18', 'stroke-width': '1' })
  paint('.network-species[data-coloured] rect', { 'stroke-width': '2.5' })
  paint('.network-step rect', { fill: '#f1ece1', stroke: '#8b8474' })
  paint('.network-step[data-ruling] rect', { stroke: '#1f1c18', 'stroke-width': '2.5' })
  paint('text', { 'text-anchor': 'middle', 'font-size': '15', fill: '#1f1c18' })
  paint('.network-step text', { 'font-size': '13' })
  paint('.network-rule', { 'font-size': '12', 'font-weight': '600' })
  const ground = document.createElementNS('http://www.w3.org/2000/svg', 'rect')
  for (const [name, value] of Object.entries({ width: '100%', height: '100%', fill: '#ffffff' })) ground.setAttribute(name, value)
  copy.prepend(ground)
  return new XMLSerializer().serializeToString(copy)
}
