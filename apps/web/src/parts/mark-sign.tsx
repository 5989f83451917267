/** How a line is drawn, as a small picture beside its name: a thin line is predicted, a broad one with marks was measured. */
import type { Mark } from './measured-line.ts'

const SHAPES: Readonly<Record<Mark, string>> = {
  ring: 'M18 7a4 4 0 1 1-8 0a4 4 0 1 1 8 0Z',
  square: 'M10.5 3.5h7v7h-7Z',
  triangle: 'M14 2.5l4.5 8h-9Z',
  cross: 'M10.5 3.5l7 7m0-7l-7 7',
}

export function MarkSign(props: { readonly mark: Mark | null }) {
  return (
    <svg class="mark-sign" width="28" height="14" viewBox="0 0 28 14" aria-hidden="true">
      <path class={props.mark === null ? 'sign-predicted' : 'sign-measured'} d="M0 7H28" />
      {props.mark === null ? null : <path class={props.mark === 'cross' ? 'sign-cross' : 'sign-mark'} d={SHAPES[props.mark]} />}
    </svg>
  )
}

/** A turn that somebody saw. */
export const SeenSign = () => (
  <svg class="mark-sign" width="14" height="14" viewBox="0 0 14 14" aria-hidden="true">
    <path class="sign-seen" d="M7 2l5 9H2Z" />
  </svg>
)
