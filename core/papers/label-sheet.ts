/** Bottle labels: what each solution is, how strong, what it does, and lines to write on. */
import { withUncertainty } from '@beakertide/basis/units'
import type { Cautions, HazardFacts } from '../cautions/index.ts'
import type { MakeUp } from '../makeup/index.ts'
import { briefDanger } from './brief-danger.ts'
import { bottlesOfUnknownHazard, labelElements } from './label-statements.ts'
import { nominalVolume } from './make-up-sheet.ts'
import type { LabelToPrint, Paper } from './paper.ts'
import type { SpeciesBook } from './species-book.ts'
import { typesetPaper } from './typeset.ts'

/** One label a solution, in the order of the make-up. */
export function labelsOf(made: MakeUp, cautions: Cautions, hazards: HazardFacts): readonly LabelToPrint[] {
  return made.solutions.map((solution): LabelToPrint => {
    const portions = made.portions.filter((p) => p.solution === solution.id)
    const unknown = bottlesOfUnknownHazard(
      portions.map((p) => p.bottle),
      cautions,
    )
    return {
      name: solution.id,
      volume: nominalVolume(solution.volumeL),
      volumeL: solution.volumeL,
      contents: portions.map((p) => {
        const s = made.strengths.find((x) => x.solution === p.solution && x.bottle === p.bottle)
        // Starch and the like have no amount of substance worth printing.
        return s && s.trueMolPerL > 0
          ? `${p.substanceName} ${`${withUncertainty(s.trueMolPerL, s.uncertaintyMolPerL)} mol/L`.replaceAll(' ', '\u00a0')}`
          : `${p.substanceName}, ${p.written}`
      }),
      ...labelElements(solution.id, cautions, hazards.codes),
      doubt: unknown.length === 0 ? '' : `Hazards of ${unknown.join(', ')} are not on file here: read the safety data sheet.`,
    }
  })
}

/** The labels after a page of cautions, on which every statement stands in words. */
export function labelSheet(title: string, made: MakeUp, cautions: Cautions, hazards: HazardFacts, book: SpeciesBook): Paper {
  return typesetPaper(
    {
      kind: 'labels',
      title: `Bottle labels: ${title}`,
      blocks: [
        briefDanger(cautions),
        {
          block: 'text',
          text: 'The labels follow on sheets of their own. Print them at full size (100 %, no fitting to the page), on plain paper first: hold it against the label sheet and see that the edges meet. ± is one standard uncertainty. Hazard classes are computed for the solution as made; the suppliers’ safety data sheets win.',
        },
        { block: 'heading', level: 2, text: 'What the labels say, in words' },
        { block: 'labels', labels: labelsOf(made, cautions, hazards) },
      ],
    },
    book,
  )
}
