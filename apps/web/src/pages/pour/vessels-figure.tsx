/** The vessels side by side to one scale, with the level after each pour. Our own drawing: hairlines, no colour but the page's. */
import { createMemo, createSignal, For, onCleanup, onMount, Show } from '../../framework.ts'
import { levelsOf, type PlannedVessel } from '../../parts/pour-plan.ts'
import { levelCm, placeVessels, scaleBarCm } from '../../parts/vessel-shape.ts'
import { t } from '../../words/index.ts'
import { formatClock, formatNumber } from '../../words/numbers.ts'

/** Width before it is measured, px. */
const USUAL_WIDTH = 720
const HEIGHT = 300
const TOP = 14
const FOOT = 60
/** About the width of a letter of the level words, px: longer words than the vessel is wide say the volume alone. */
const LETTER = 5.6
/** Least distance of two level words, px. */
const LINE = 13

export function VesselsFigure(props: { readonly vessels: readonly PlannedVessel[]; readonly label: string }) {
  // Drawn in the pixels there are, so that words keep their size on a phone.
  const [width, setWidth] = createSignal(USUAL_WIDTH)
  let figure: SVGSVGElement | undefined
  onMount(() => {
    const size = new ResizeObserver(() => setWidth(Math.max(200, figure?.clientWidth ?? USUAL_WIDTH)))
    if (figure) size.observe(figure)
    onCleanup(() => size.disconnect())
  })
  const drawn = createMemo(() => {
    const shapes = props.vessels.map((v) => {
      const full = levelsOf(v).at(-1)?.cm ?? 0
      const brimCm = v.holdsL === null ? null : levelCm(v.holdsL, v.widthCm)
      return { widthCm: v.widthCm, brimCm, drawnCm: Math.max(brimCm ?? full * 1.35, full, 1), stirred: true }
    })
    return { shapes, ...placeVessels(shapes, { widthPx: width(), heightPx: HEIGHT, topPx: TOP, footPx: FOOT }) }
  })
  const bar = () => scaleBarCm(drawn().pxPerCm, 120)
  return (
    <svg
      class="vessels-figure"
      ref={(element) => (figure = element)}
      viewBox={`0 0 ${width()} ${HEIGHT}`}
      role="img"
      aria-label={props.label}
    >
      <For each={props.vessels.map((_, i) => i)}>
        {(i) => {
          const vessel = () => props.vessels[i]
          const place = () => drawn().places[i]
          const shape = () => drawn().shapes[i]
          const scale = () => drawn().pxPerCm
          const levels = () => {
            const v = vessel()
            return v ? levelsOf(v) : []
          }
          const y = (cm: number): number => (place()?.floorPx ?? 0) - cm * scale()
          // Words of levels that are close stand under each other.
          const wordsY = createMemo(() => {
            let last = Number.POSITIVE_INFINITY
            return levels().map((l) => {
              last = Math.min(y(l.cm) - 4, last - LINE)
              return last
            })
          })
          const isOver = () => {
            const brim = shape()?.brimCm
            return brim !== null && brim !== undefined && (levels().at(-1)?.cm ?? 0) > brim * 1.0001
          }
          return (
            <Show when={place()}>
              {(p) => (
                <g data-over={isOver() ? '' : undefined}>
                  <Show when={levels().at(-1)}>
                    {(top) => (
                      <rect class="liquid" x={p().leftPx} y={y(top().cm)} width={p().widthPx} height={Math.max(0, top().cm * scale())} />
                    )}
                  </Show>
                  <For each={levels()}>
                    {(level, j) => (
                      <>
                        <line class="level" x1={p().leftPx} x2={p().leftPx + p().widthPx} y1={y(level.cm)} y2={y(level.cm)} />
                        <text class="level-word" x={p().leftPx + p().widthPx / 2} y={wordsY()[j()] ?? 0} text-anchor="middle">
                          {levelWords(level, p().widthPx)}
                        </text>
                      </>
                    )}
                  </For>
                  <path
                    class="wall"
                    d={`M${p().leftPx} ${p().topPx} V${p().floorPx} H${p().leftPx + p().widthPx} V${p().topPx}`}
                    stroke-dasharray={shape()?.brimCm === null ? '5 4' : undefined}
                  />
                  <text class="vessel-word" x={p().leftPx + p().widthPx / 2} y={p().floorPx + 17} text-anchor="middle">
                    {`${vessel()?.id ?? ''}${(vessel()?.count ?? 1) > 1 ? ` × ${vessel()?.count}` : ''}`}
                  </text>
                  <text class="level-word" x={p().leftPx + p().widthPx / 2} y={p().floorPx + 32} text-anchor="middle">
                    {t('pour.from', { clock: formatClock(levels()[0]?.atS ?? 0) })}
                  </text>
                </g>
              )}
            </Show>
          )
        }}
      </For>
      <g class="scale-bar">
        <line x1="8" x2={8 + bar() * drawn().pxPerCm} y1={HEIGHT - 8} y2={HEIGHT - 8} />
        <text x={12 + bar() * drawn().pxPerCm} y={HEIGHT - 4}>
          {formatNumber(bar())} cm
        </text>
      </g>
    </svg>
  )
}

function levelWords(level: { readonly volumeL: number; readonly solution: string }, widthPx: number): string {
  const volume = `${formatNumber(level.volumeL * 1000, 4)} mL`
  const whole = `${volume} ${level.solution}`
  return whole.length * LETTER > widthPx - 8 ? volume : whole
}
