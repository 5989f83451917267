/** Where the nodes of a network stand. The library works in a worker of its own, which is started when a network is first drawn. */
import { type GraphNode, type NetworkGraph, nodeKey } from './network-graph.ts'
import { speciesText } from './chemical-words.ts'

export interface LayoutWish {
  /** Layers below each other, or beside each other: whichever fits the window. */
  readonly direction: 'down' | 'across'
  readonly nodes: readonly { readonly key: string; readonly width: number; readonly height: number }[]
  readonly lines: readonly { readonly from: string; readonly to: string }[]
}
export interface NetworkLayout {
  readonly width: number
  readonly height: number
  /** Middles, px. */
  readonly places: Readonly<Record<string, { readonly x: number; readonly y: number; readonly width: number; readonly height: number }>>
  /** In the order of the lines asked for; points from begin to end. */
  readonly routes: readonly (readonly { readonly x: number; readonly y: number }[])[]
}

/** About how wide a letter is at 15 px. */
const LETTER_PX = 8.4

/** Size of a node's box. */
export function nodeSize(node: GraphNode): { readonly width: number; readonly height: number } {
  const letters = node.kind === 'species' ? speciesText(node.id).length : Math.min(22, node.id.length)
  return { width: Math.max(30, letters * LETTER_PX + (node.kind === 'species' ? 24 : 16)), height: node.kind === 'species' ? 30 : 24 }
}

/** What the layout needs to know of a graph: boxes, and lines in the direction of the reaction as written. */
export function layoutWish(graph: NetworkGraph, direction: LayoutWish['direction']): LayoutWish {
  return {
    direction,
    nodes: graph.nodes.map((n) => ({ key: nodeKey(n), ...nodeSize(n) })),
    lines: graph.lines.map((l) => {
      const [species, step] = [`species:${l.species}`, `step:${l.step}`]
      return l.side === 'into' ? { from: species, to: step } : { from: step, to: species }
    }),
  }
}

/** Asks a worker; refuses when it cannot be started. */
export function layOut(graph: NetworkGraph, direction: LayoutWish['direction']): Promise<NetworkLayout> {
  const worker = new Worker(new URL('./network-layout.worker.ts', import.meta.url), { type: 'module', name: 'layout' })
  return new Promise((resolve, reject) => {
    worker.addEventListener('message', (e: MessageEvent<NetworkLayout>) => {
      worker.terminate()
      resolve(e.data)
    })
    worker.addEventListener('error', (e) => {
      worker.terminate()
      reject(new Error(e.message === '' ? 'the layout could not be started' : e.message))
    })
    worker.postMessage(layoutWish(graph, direction), { transfer: [] })
  })
}

/** A route as an SVG path, its corners rounded. */
export function pathOf(route: readonly { readonly x: number; readonly y: number }[]): string {
  const n = (v: number): string => String(Math.round(v * 10) / 10)
  const [first, ...rest] = route
  if (!first) return ''
  let d = `M${n(first.x)} ${n(first.y)}`
  rest.forEach((p, i) => {
    const next = rest[i + 1]
    if (next) d += `Q${n(p.x)} ${n(p.y)} ${n((p.x + next.x) / 2)} ${n((p.y + next.y) / 2)}`
    else d += `L${n(p.x)} ${n(p.y)}`
  })
  return d
}
