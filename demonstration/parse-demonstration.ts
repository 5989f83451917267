/** YAML text -> the whole demonstration, or everything that is wrong with it. */
import { done, inReadingOrder, type Outcome, type Problem } from '@beakertide/basis/problems'
import { readTree, readTreeInPart, type Tree } from '@beakertide/basis/text'
import type { BalanceAndGlass, Bottle } from '@beakertide/core/makeup'
import { findSubstance, type MatterFacts } from '@beakertide/core/matter'
import { crossCheck } from './cross-checks.ts'
import type { Demonstration, FoundRecipe } from './demonstration.ts'
import { type Fields, fieldsOf, flagOf, isName, mapOf, type Notes, quantityOf, report, short, textOf, wordOf } from './fields.ts'
import { lights } from './lights.ts'
import { readReaction } from './reaction.ts'
import { readPlace } from './read-place.ts'
import { readRoom } from './read-room.ts'
import { isStarch, readBottles } from './read-bottles.ts'
import { readSolutions, type WrittenSolution } from './read-solutions.ts'
import { LONGEST_S, readPours, readVessels } from './read-vessels.ts'
import { currentVersion, upToDate } from './versions.ts'

/** What a reader of documents may know of the world; without it those checks are left to the rooms. */
export interface KnownFacts {
  /** Names of the catalogue of mechanisms, aliases too. */
  readonly reactions?: readonly string[]
  /** Substances: names and hydrates are then checked at their place in the document. */
  readonly matter?: MatterFacts
}

const example = '"title: Tide in a jar"'

/** All keys of a document, in the order in which one is best written. */
export const documentKeys = {
  required: ['beakertide', 'title', 'reaction', 'bottles', 'solutions', 'vessels'],
  optional: ['story', 'room', 'view', 'wanted', 'rehearse for', 'tools', 'starch', 'controls', 'found', 'place'],
  example,
}

/** Defaults, each said in docs/demonstration-format.md. Ten minutes show most demonstrations whole; assumed. */
const DEFAULT_REHEARSE_S = 600
const DEFAULT_TOOLS: BalanceAndGlass = { balanceReadabilityG: 0.01, glassClass: 'B' }

function readView(tree: Tree | undefined, notes: Notes): Demonstration['view'] {
  const f = tree
    ? fieldsOf(tree, 'view', { required: [], optional: ['light', 'adaptation'], example: '"view: { light: daylight }"' }, notes)
    : null
  const lightTree = f?.get('light')
  const light = lightTree ? wordOf(lightTree, 'view, light', lights, 'light', notes) : null
  const adaptationTree = f?.get('adaptation')
  const words = { full: 'full', none: 'none' } as const
  const isWord = adaptationTree?.kind === 'scalar' && Object.hasOwn(words, adaptationTree.text.trim().toLowerCase())
  let adaptation = 1
  if (adaptationTree && isWord) adaptation = wordOf(adaptationTree, 'view, adaptation', words, 'adaptation', notes) === 'none' ? 0 : 1
  else if (adaptationTree) adaptation = quantityOf(adaptationTree, 'view, adaptation', ['fraction'], notes, { to: 1 })?.value ?? 1
  return { illuminant: light ?? 'd65', adaptation }
}

function readTools(tree: Tree | undefined, notes: Notes): BalanceAndGlass {
  const f = tree
    ? fieldsOf(
        tree,
        'tools',
        { required: [], optional: ['balance', 'glass'], example: '"tools: { balance: 0.01 g, glass: class B }"' },
        notes,
      )
    : null
  const balanceTree = f?.get('balance')
  const balance = balanceTree
    ? quantityOf(balanceTree, 'tools, balance', ['mass'], notes, { from: 1e-6, to: 100, why: 'the smallest digit of a balance' })
    : null
  const glassTree = f?.get('glass')
  const glass = glassTree
    ? wordOf(
        glassTree,
        'tools, glass',
        { 'class a': 'A', 'class b': 'B', a: 'A', b: 'B', indicative: 'indicative' } as const,
        'glass',
        notes,
      )
    : null
  return { balanceReadabilityG: balance?.value ?? DEFAULT_TOOLS.balanceReadabilityG, glassClass: glass ?? DEFAULT_TOOLS.glassClass }
}

/** A control measure is a sentence, not a tick: shorter ones say nothing that could be checked in the hall. */
const SHORTEST_CONTROL = 12

function readControls(tree: Tree | undefined, notes: Notes): Readonly<Record<string, string>> {
  const controlExample = '"controls: { iodine-vapour: fume hood running at 0.5 m/s }"'
  const entries = tree ? mapOf(tree, 'controls', controlExample, notes) : null
  const controls: [string, string][] = []
  for (const e of entries ?? []) {
    const text = textOf(e.value, `controls, "${e.key.slice(0, 40)}"`, controlExample, notes)
    if (text === null) continue
    if (text.length < SHORTEST_CONTROL)
      report(
        notes,
        'control-not-said',
        { where: 'controls', span: e.value.span },
        `"${text}" does not say what is done`,
        `say it in a sentence, as in ${controlExample}`,
      )
    else controls.push([e.key, text])
  }
  return Object.fromEntries(controls)
}

function readFound(
  tree: Tree | undefined,
  ownBottles: readonly Bottle[],
  ownNames: readonly string[] | null,
  notes: Notes,
): readonly FoundRecipe[] {
  const foundExample = '"found: { page 12: { source: a book, solutions: { … }, pours: [ 300 mL of A ] } }"'
  const entries = tree ? mapOf(tree, 'found', foundExample, notes) : null
  const found: FoundRecipe[] = []
  for (const e of entries ?? []) {
    if (!isName(e.key, 'found', e.keySpan, notes)) continue
    const where = `found "${e.key}"`
    const f = fieldsOf(e.value, where, { required: ['source', 'solutions', 'pours'], optional: ['bottles'], example: foundExample }, notes)
    if (!f) continue
    const sourceTree = f.get('source')
    const source = sourceTree ? textOf(sourceTree, `${where}, source`, '"source: a book, page 12"', notes) : null
    const bottlesTree = f.get('bottles')
    const own = bottlesTree ? readBottles(bottlesTree, `${where}, bottles`, notes) : { bottles: [], names: null }
    const solutionsTree = f.get('solutions')
    const { solutions, names } = solutionsTree
      ? readSolutions(solutionsTree, `${where}, solutions`, own.names && ownNames && [...own.names, ...ownNames], notes)
      : { solutions: [], names: null }
    const poursTree = f.get('pours')
    const pours = poursTree ? readPours(poursTree, where, names, notes) : []
    // a recipe that does not state a bottle of its own borrows the document's
    const used = new Set(solutions.flatMap((s) => s.ingredients.map((i) => i.bottle)))
    const borrowed = ownBottles.filter((b) => used.has(b.id) && !own.names?.includes(b.id))
    if (source === null) continue
    found.push({
      name: e.key,
      source,
      bottles: [...own.bottles, ...borrowed],
      solutions,
      pours: pours.map((p) => ({ solution: p.solution, volume: p.volume })),
    })
  }
  return found
}

/** Substances and hydrates, looked up at their place. */
function checkSubstances(bottles: readonly Bottle[], matter: MatterFacts, notes: Notes): void {
  for (const bottle of bottles) {
    const got = findSubstance(bottle.substance, bottle.hydrate, matter)
    const placed = (p: Problem): Problem => ({
      ...p,
      where: `bottle "${bottle.id}" (${short(bottle.substance)})`,
      ...(bottle.span ? { span: bottle.span } : {}),
    })
    if (got.ok) notes.warnings.push(...got.warnings.map(placed))
    else notes.problems.push(...got.problems.map(placed))
  }
}

function rehearsalLength(f: Fields, wantedS: number | null, notes: Notes): number {
  const tree = f.get('rehearse for')
  const own = tree ? quantityOf(tree, 'rehearse for', ['time'], notes, { positive: true, to: LONGEST_S, why: 'two days' }) : null
  return own?.value ?? Math.max(DEFAULT_REHEARSE_S, 2 * (wantedS ?? 0))
}

/** What could be read of a document, whatever stands wrong in it: enough to tell its dangers, never enough to weigh by. */
export interface ReadInPart extends Pick<Demonstration, 'room' | 'bottles' | 'solutions' | 'vessels' | 'tools' | 'controls'> {
  /** All solutions as written, those too whose amounts could not be read. */
  readonly written: readonly WrittenSolution[]
  /** False where a pour could not be read. */
  readonly poursRead: boolean
  /** False where the text itself is faulty, so that what follows a fault may be lost. */
  readonly isTextSound: boolean
  readonly problems: readonly Problem[]
}

interface ReadDocument {
  readonly part: Omit<ReadInPart, 'problems' | 'isTextSound'>
  /** Null where title or reaction could not be read. */
  readonly whole: Demonstration | null
}

function readDocument(tree: Tree, known: KnownFacts, notes: Notes, version?: 'whatever its version'): ReadDocument | null {
  const document = upToDate(tree, notes) ?? (version === undefined ? null : tree)
  if (!document) return null
  const f = fieldsOf(
    document,
    'document',
    {
      ...documentKeys,
      required: documentKeys.required.filter((k) => k !== 'beakertide'),
      optional: ['beakertide', ...documentKeys.optional],
    },
    notes,
  )
  if (!f) return null
  const titleTree = f.get('title')
  const title = titleTree ? textOf(titleTree, 'title', example, notes) : null
  const storyTree = f.get('story')
  const story = storyTree ? textOf(storyTree, 'story', '"story: What it shows."', notes) : null
  const reactionTree = f.get('reaction')
  const reaction = reactionTree ? readReaction(reactionTree, known.reactions, notes) : null
  const room = readRoom(f.get('room'), f, notes)
  const bottlesTree = f.get('bottles')
  const { bottles, names: bottleNames } = bottlesTree ? readBottles(bottlesTree, 'bottles', notes) : { bottles: [], names: [] }
  const solutionsTree = f.get('solutions')
  const {
    solutions,
    names: solutionNames,
    written,
  } = solutionsTree ? readSolutions(solutionsTree, 'solutions', bottleNames, notes) : { solutions: [], names: null, written: [] }
  const vesselsTree = f.get('vessels')
  const vessels = vesselsTree ? readVessels(vesselsTree, 'vessels', solutionNames, bottleNames, notes) : []
  const wantedTree = f.get('wanted')
  const wanted = wantedTree
    ? fieldsOf(wantedTree, 'wanted', { required: ['length'], optional: [], example: '"wanted: { length: 6 min }"' }, notes)
    : null
  const lengthTree = wanted?.get('length')
  const length = lengthTree
    ? quantityOf(lengthTree, 'wanted, length', ['time'], notes, { positive: true, to: LONGEST_S / 2, why: 'one day' })
    : null
  const rehearseS = rehearsalLength(f, length?.value ?? null, notes)
  const view = readView(f.get('view'), notes)
  const tools = readTools(f.get('tools'), notes)
  const controls = readControls(f.get('controls'), notes)
  const found = readFound(f.get('found'), bottles, bottleNames, notes)
  const place = readPlace(f.get('place'), notes)
  const starchTree = f.get('starch')
  const used = new Set(solutions.flatMap((s) => s.ingredients.map((i) => i.bottle)))
  const starch = starchTree ? flagOf(starchTree, 'starch', notes) : bottles.some((b) => used.has(b.id) && isStarch(b))
  if (known.matter)
    checkSubstances([...bottles, ...found.flatMap((r) => r.bottles.filter((b) => !bottles.includes(b)))], known.matter, notes)
  crossCheck({ solutions, vessels, rehearseS, allRead: notes.problems.length === 0 }, notes)
  const vesselsWritten = vesselsTree?.kind === 'map' ? vesselsTree.entries.length : 0
  const poursRead = vesselsWritten > 0 && vessels.length === vesselsWritten && vessels.every((v) => v.complete)
  const part = { room, bottles, solutions, vessels: vessels.map((v) => v.vessel), tools, controls, written, poursRead }
  if (title === null || !reaction) return { part, whole: null }
  const whole: Demonstration = {
    schema: currentVersion,
    title,
    story: story ?? '',
    room,
    bottles,
    solutions,
    vessels: vessels.map((v) => v.vessel),
    view,
    reaction,
    starch: starch ?? false,
    wantedLengthS: length?.value ?? null,
    rehearseS,
    tools,
    controls,
    found,
    ...(place === null ? {} : { place }),
  }
  return { part, whole }
}

/** The parts of a document that could be read, with every problem; null where it is no document at all. */
export function readInPart(text: string, file: string, known: KnownFacts = {}): ReadInPart | null {
  const { tree, problems } = readTreeInPart(text, file)
  if (tree === null) return null
  const notes: Notes = { problems: [...problems], warnings: [] }
  const read = readDocument(tree, known, notes, 'whatever its version')
  return read && { ...read.part, isTextSound: problems.length === 0, problems: inReadingOrder(notes.problems) }
}

/**
 * Reads one demonstration. `file` is its name for messages; nothing is opened. With `known` facts, reactions, substances and
 * hydrates are checked at their place too. All problems at once, in the order of the document; warnings do not refuse.
 */
export function parseDemonstration(text: string, file: string, known: KnownFacts = {}): Outcome<Demonstration> {
  const tree = readTree(text, file)
  if (!tree.ok) return tree
  const notes: Notes = { problems: [], warnings: [] }
  const demonstration = readDocument(tree.value, known, notes)?.whole
  if (notes.problems.length > 0 || !demonstration) return { ok: false, problems: inReadingOrder(notes.problems) }
  return done(demonstration, inReadingOrder(notes.warnings))
}
