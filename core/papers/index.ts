export type {
  Block,
  CodedLine,
  Cue,
  DangerLine,
  LabelStatement,
  LabelToPrint,
  ListItem,
  PaperColumn,
  Paper,
  PaperTrace,
  StripPoint,
  StripTurn,
} from './paper.ts'
export {
  htmlPage,
  type Imprint,
  paperMarkup,
  type PrintChoices,
  printedStyle,
  sheetRules,
  usualPrint,
} from './html-page.ts'
export { htmlText } from './html-text.ts'
export { tooLongFor, usualLabels, type LabelChoices } from './label-html.ts'
export { LABEL_SHEETS, type LabelSheet, type PaperSize, sheetWords } from './label-layout.ts'
export { labelSheet, labelsOf } from './label-sheet.ts'
export { PICTOGRAM_NAMES, type PictogramOptions, pictogramSvg } from './pictograms.ts'
export { cueSheet, cuesOf, type CuesToPrint, metresOf } from './cue-sheet.ts'
export { type Said, type Saying, whatToSay } from './what-to-say.ts'
export { clockWords, turnSpans, type TurnSpan } from './cue-sheet-times.ts'
export { recipeCodes, recipeGroups, recipePage, type RecipeToPrint } from './recipe-page.ts'
export { type CheckCodes, checkCodes, checkLine, compareCheckLine, type TypedCheck } from './check-line.ts'
export { type RunToPrint, stretchWords, writeUpSheet } from './write-up-sheet.ts'
export { type DayOfPapers, dayPapers, isPaperKind, NEEDS_CLEARING, NEEDS_REHEARSAL, PAPER_KINDS, type PaperKind } from './day-papers.ts'
export { escapeMarkup, visibleText } from './markup.ts'
export { aboutTime, timeStep, timeWords } from './times.ts'
export { closerLook, stretchesOf, type Stretch, type StripColumn, stripColumns } from './strip-columns.ts'
export { drawStrip, type StripDrawing } from './svg-strip.ts'
export { drawTraces, roundMarks, type TracesDrawing } from './svg-traces.ts'
export { cautionSheet } from './caution-sheet.ts'
export { dangerBlock, dangerLines, type DangerSection, dangerSections, GRADE_WORDS, GRAVE_FROM, sentence } from './caution-lines.ts'
export { type SpeciesBook, speciesBook, speciesName, speciesNamed, speciesSpoken, speciesWords } from './species-book.ts'
export { itemText } from './paper.ts'
export { inEnglish, type Tell, type Telling } from './telling.ts'
export { translatePaper } from './translate.ts'
export { typeset, typesetPaper } from './typeset.ts'
export { checkSheet, type PouredToPrint } from './check-sheet.ts'
export { makeUpSheet, nominalVolume, shoppingSheet } from './make-up-sheet.ts'
export { bandWords, courseLines, rehearsalSheet } from './rehearsal-sheet.ts'
export { clearingSheet, rangeWords } from './clearing-sheet.ts'
export { comparisonSheet } from './comparison-sheet.ts'
export { catalogueSheet, mechanismSheet, MODEL_LINE } from './mechanism-sheet.ts'
export { reasonsSheet, type ReasonsToPrint } from './reasons-sheet.ts'
export { sourcesSheet } from './sources-sheet.ts'
export { type DayToPrint, daySheet } from './day-sheet.ts'
export { type CarpetDrawing, drawCarpet, isPresent, rowWords, variedWords } from './carpet-drawing.ts'
export { axisMarks, type CoastScale, shareAlong, SHOW_WORDS, valueAlong } from './coast-axis.ts'
export { type CoastDrawing, drawCoast } from './coast-drawing.ts'
export { aimSheet, type AimToPrint, carpetSheet, coastSheet, mistakesSheet, type PortionChange } from './carpet-sheet.ts'
