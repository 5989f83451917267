/** The layered layout itself, by the graph library. Runs in a worker, and in Node for tests. */
import { graphlib, layout } from '@dagrejs/dagre'
import type { LayoutWish, NetworkLayout } from './network-layout.ts'

const MARGIN_PX = 16

export function layOutNetwork(wish: LayoutWish): NetworkLayout {
  const graph = new graphlib.Graph({ multigraph: true })
  graph.setGraph({
    rankdir: wish.direction === 'down' ? 'TB' : 'LR',
    nodesep: 16,
    edgesep: 8,
    ranksep: wish.direction === 'down' ? 34 : 30,
    marginx: MARGIN_PX,
    marginy: MARGIN_PX,
  })
  for (const n of wish.nodes) graph.setNode(n.key, { width: n.width, height: n.height })
  wish.lines.forEach((l, i) => graph.setEdge(l.from, l.to, {}, String(i)))
  layout(graph)
  const size = graph.graph() as { readonly width?: number; readonly height?: number }
  return {
    width: size.width ?? 0,
    height: size.height ?? 0,
    places: Object.fromEntries(
      wish.nodes.map((n) => {
        const { x, y } = graph.node(n.key) as { readonly x: number; readonly y: number }
        return [n.key, { x, y, width: n.width, height: n.height }] as const
      }),
    ),
    routes: wish.lines.map((l, i) => {
      const edge = graph.edge(l.from, l.to, String(i)) as { readonly points: readonly { readonly x: number; readonly y: number }[] }
      return edge.points.map(({ x, y }) => ({ x, y }))
    }),
  }
}
