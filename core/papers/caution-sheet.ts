/** The cautions sheet: the danger block, then the rule and the numbers behind every class, the gases over time, and what to fill in. */
import { formatNumber } from '@beakertide/basis/units'
import { type AirCourse, type Caution, type Cautions, gasName } from '../cautions/index.ts'
import { dangerBlock } from './caution-lines.ts'
import type { Block, Paper } from './paper.ts'

/** Bottles after the liquids that are made of them. */
const rank = (c: Caution): number => (c.about.startsWith('bottle ') ? 1 : 0)

function classBlocks(list: readonly Caution[]): readonly Block[] {
  const labelled = list.filter((c) => (c.label?.classes.length ?? 0) > 0).sort((a, b) => rank(a) - rank(b))
  const rows = labelled.flatMap((c) => {
    const lines = new Map<string, { readonly statements: string[]; readonly rest: readonly string[] }>()
    for (const x of c.label?.classes ?? []) {
      // Statements with one reason are one line.
      const rest = [x.className, `${x.rule}, ${x.paragraph}`, x.numbers, x.seen]
      const line = lines.get(rest.join('\n')) ?? { statements: [], rest }
      line.statements.push(x.statement)
      lines.set(rest.join('\n'), line)
    }
    return [...lines.values()].map(({ statements, rest: [className = '', ...rest] }, i) => [
      i === 0 ? c.about : '',
      `${statements.join(' ')}${className === '' ? '' : ` (${className})`}`,
      ...rest,
    ])
  })
  if (rows.length === 0) return []
  return [
    { block: 'heading', level: 2, text: 'Why these hazard classes' },
    {
      block: 'table',
      caption:
        'Liquids as put together, before they react. Rules by their number in data/hazards/ghs_rules.csv; paragraphs are from memory. "memory" in the last column: look it up before you rely on it',
      columns: [
        { title: 'of', align: 'left' },
        { title: 'class', align: 'left' },
        { title: 'rule', align: 'left' },
        { title: 'numbers', align: 'left' },
        { title: 'rule is', align: 'left' },
      ],
      rows,
    },
  ]
}

const ppm = (v: number): string => formatNumber(v, 2)

function airBlocks(air: readonly AirCourse[]): readonly Block[] {
  if (air.length === 0) return []
  const { roomM3, isExampleRoom, airChangesPerH } = air[0]!
  const room = `${formatNumber(roomM3, 3)} m³ of air${isExampleRoom ? ' (an example: no room is stated)' : ''}`
  const fresh = airChangesPerH > 0 ? `${formatNumber(airChangesPerH, 2)} air changes an hour` : 'no fresh air (none is stated)'
  const told = [0, 600, 1800, 3600]
  const at = (a: AirCourse, s: number): string => ppm(a.samples.find((p) => p.timeS === s)?.ppm ?? 0)
  return [
    { block: 'heading', level: 2, text: 'Gases and vapours in the air' },
    {
      block: 'text',
      text: `If all of it left the liquid at once into ${room} with ${fresh}, mixed evenly. That is an upper bound for the room and far too little for the air beside the vessel.`,
    },
    {
      block: 'table',
      caption: 'ppm by volume; a limit over a quarter hour is held against the first quarter hour, one over a working day against 8 h',
      columns: [
        { title: 'gas', align: 'left' },
        { title: 'from', align: 'left' },
        { title: 'mmol', align: 'right' },
        ...told.map((s) => ({ title: s === 0 ? 'at once' : `${s / 60} min`, align: 'right' as const })),
        { title: 'mean 8 h', align: 'right' },
        { title: 'worst against a limit', align: 'left' },
      ],
      rows: air.map((a) => {
        const worst = a.held[0]
        return [
          gasName(a.gas),
          a.about,
          formatNumber(1000 * a.amountMol, 2),
          ...told.map((s) => at(a, s)),
          ppm(a.mean8HPpm),
          worst
            ? `${ppm(worst.ppm)} (${worst.against}) beside ${ppm(worst.limit.ppm)} ppm, ${worst.limit.list} ${worst.limit.kind} [${worst.limit.source.seen}]: ${formatNumber(worst.ratio, 2)} times`
            : 'no limit is on file',
        ]
      }),
    },
  ]
}

/** The sheet that lies beside every other paper. `more`: cautions of a later room, such as those of clearing. */
export function cautionSheet(title: string, cautions: Cautions, more: readonly Caution[] = []): Paper {
  return {
    kind: 'cautions',
    title: `Cautions: ${title}`,
    blocks: [
      dangerBlock(cautions, more),
      ...airBlocks(cautions.air ?? []),
      ...classBlocks(cautions.list),
      { block: 'heading', level: 2, text: 'Before the audience comes in' },
      {
        block: 'fields',
        fields: [
          'risk assessment of',
          'read by',
          'second trained person',
          'emergency or poison number',
          'nearest eyewash and extinguisher',
          'licence or age asked for at',
        ],
      },
    ],
  }
}
