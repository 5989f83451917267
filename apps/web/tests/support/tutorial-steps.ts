/**
 * A tutorial as steps that can be followed. In its numbered items **bold** is pressed, filled in or ticked, `so` is typed, _slanted_ is
 * seen afterwards; whatever is marked so and is no part of a known sentence is a mistake of the tutorial.
 */

export type Step =
  | { readonly do: 'press'; readonly label: string; readonly which: Which; readonly isStop: boolean }
  | { readonly do: 'type'; readonly text: string; readonly label: string; readonly which: Which }
  | { readonly do: 'choose'; readonly option: string; readonly label: string }
  | { readonly do: 'tick every'; readonly label: string }
  | { readonly do: 'see'; readonly text: string }
  | { readonly do: 'see ticked'; readonly labels: readonly string[] }
  | { readonly do: 'see on paper'; readonly text: string }
  | { readonly do: 'see the word'; readonly text: string }
  | { readonly do: 'picture'; readonly file: string; readonly alt: string }

export type Which = 'only' | 'first' | 'second' | 'third' | 'last'

export interface PlacedStep {
  /** Heading and sentence, for the message when it cannot be followed. */
  readonly where: string
  readonly step: Step
}

const BOLD = String.raw`\*\*([^*]+)\*\*`
const ORDINAL = '(?:the (first|second|third|last) )?'
const SENTENCES: readonly (readonly [RegExp, (m: readonly string[]) => readonly Step[]])[] = [
  [
    new RegExp(`press ${ORDINAL}${BOLD}( in the list of the day)?`, 'iy'),
    ([, which, label = '', stop]) => [{ do: 'press', label, which: whichOf(which), isStop: Boolean(stop) }],
  ],
  [
    new RegExp(`\`([^\`]+)\` into ${ORDINAL}${BOLD}`, 'iy'),
    ([, text = '', which, label = '']) => [{ do: 'type', text, label, which: whichOf(which) }],
  ],
  [
    new RegExp(`paste these lines into ${BOLD}:\\s*\`\`\`\\n([^]*?)\`\`\``, 'iy'),
    ([, label = '', text = '']) => [{ do: 'type', text: text.trimEnd(), label, which: 'only' }],
  ],
  [new RegExp(`choose ${BOLD} under ${BOLD}`, 'iy'), ([, option = '', label = '']) => [{ do: 'choose', option, label }]],
  [new RegExp(`tick every ${BOLD}`, 'iy'), ([, label = '']) => [{ do: 'tick every', label }]],
  [
    new RegExp(`((?:${BOLD.replace('(', '(?:')}(?:, | and )?)+) (?:is|are) ticked`, 'iy'),
    ([, labels = '']) => [{ do: 'see ticked', labels: [...labels.matchAll(new RegExp(BOLD, 'g'))].map((m) => m[1] ?? '') }],
  ],
  [
    /on paper stands? ([^]*?)(?=\. |\.$|$)/iy,
    ([, texts = '']) => [...texts.matchAll(/_([^_]+)_/g)].map((m) => ({ do: 'see on paper', text: m[1] ?? '' })),
  ],
  [/_([^_]+)_/y, ([, text = '']) => [{ do: 'see', text }]],
]
const whichOf = (word: string | undefined): Which => (word?.toLowerCase() as Which | undefined) ?? 'only'

/** All steps in order; throws with the sentence that cannot be followed. */
export function tutorialSteps(markdown: string): readonly PlacedStep[] {
  const steps: PlacedStep[] = []
  let heading = ''
  for (const block of blocksOf(markdown)) {
    if (block.startsWith('## ')) {
      heading = block.slice(3)
      continue
    }
    const picture = /^!\[([^\]]*)\]\((pictures\/tutorial\/[\w-]+\.png)\)$/.exec(block)
    const where = `"${heading}": ${block.slice(0, 120)}`
    if (picture) steps.push({ where, step: { do: 'picture', alt: picture[1] ?? '', file: picture[2] ?? '' } })
    else if (/^\d+\. /.test(block)) steps.push(...sentencesOf(block).map((step) => ({ where, step })))
    else if (heading !== '')
      for (const [, text = ''] of block.matchAll(new RegExp(BOLD, 'g'))) steps.push({ where, step: { do: 'see the word', text } })
  }
  return steps
}

/** Paragraphs, headings and numbered items with what is indented under them; each one line, but for what is pasted. */
function blocksOf(markdown: string): readonly string[] {
  const blocks: string[] = []
  let isFenced = false
  let isNew = true
  for (const line of markdown.split('\n')) {
    if (line.trim().startsWith('```')) isFenced = !isFenced
    const isInItem = /^ {3}/.test(line) && /^\d+\. /.test(blocks.at(-1) ?? '')
    if (line.trim() === '' && !isFenced) isNew = true
    else if (isInItem && (isFenced || line.trim().startsWith('```') || !isNew || /^ {3}/.test(line)))
      blocks[blocks.length - 1] += `${isFenced || line.trim().startsWith('```') ? '\n' : ' '}${line.slice(3)}`
    else if (isNew || /^\d+\. |^#/.test(line)) blocks.push(line)
    else blocks[blocks.length - 1] += ` ${line}`
    if (line.trim() !== '') isNew = false
  }
  return blocks
}

function sentencesOf(item: string): readonly Step[] {
  const steps: Step[] = []
  let rest = ''
  for (let at = 0; at < item.length; ) {
    const found = SENTENCES.flatMap(([form, stepsOf]) => {
      form.lastIndex = at
      const match = form.exec(item)
      return match ? [{ length: match[0].length, steps: stepsOf(match) }] : []
    })[0]
    if (found) steps.push(...found.steps)
    else rest += item[at]
    at += found?.length ?? 1
  }
  if (/[*_`]/.test(rest)) throw new Error(`The tutorial says something that cannot be followed: "${item}" (left over: "${rest}")`)
  return steps
}
