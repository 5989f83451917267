/** The small colour strip of a list: vectors, so that it is there with the page; its words say what the colours do. */
import { For } from '../framework.ts'
import type { StripPicture } from '../pages/bench/strip-picture.ts'
import { t } from '../words/index.ts'
import { colourWord } from './colour-words.ts'
import { formatClock } from '../words/numbers.ts'
import './strip-picture.css'

/** "colourless, amber, blue …; first change after 0:38; 9 cycles; ends after 6:10" */
export function pictureWords(picture: StripPicture): string {
  const { inductionS, cycles, lastsS, stillGoing } = picture
  if (inductionS === null) return t('bench.nothingSeen')
  const end =
    lastsS === null
      ? ''
      : stillGoing
        ? t('bench.stillGoing', { time: formatClock(lastsS) })
        : t('bench.ends', { time: formatClock(lastsS) })
  return [
    t('bench.firstChange', { time: formatClock(inductionS) }),
    ...(cycles > 0 ? [t('bench.cycles', { n: cycles })] : []),
    ...(cycles > 0 && end ? [end] : []),
  ].join('; ')
}

export function StripImage(props: { readonly picture: StripPicture }) {
  const columns = () => props.picture.runs.reduce((sum, [count]) => sum + count, 0)
  const placed = () => {
    let x = 0
    return props.picture.runs.map(([count, hex]) => {
      const at = x
      x += count
      return { at, count, hex }
    })
  }
  return (
    <svg
      class="strip-picture"
      role="img"
      aria-label={`${props.picture.colours.map(colourWord).join(', ')}; ${pictureWords(props.picture)}`}
      viewBox={`0 0 ${Math.max(1, columns())} 1`}
      preserveAspectRatio="none"
      shape-rendering="crispEdges"
    >
      <For each={placed()}>{(run) => <rect x={run.at} y="0" width={run.count} height="1" fill={run.hex} />}</For>
    </svg>
  )
}
