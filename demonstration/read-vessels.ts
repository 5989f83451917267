/** `vessels:` -> what is poured into what, and when. */
import { suggestion } from '@beakertide/basis/problems'
import type { Tree, TreeEntry } from '@beakertide/basis/text'
import type { Quantity } from '@beakertide/basis/units'
import { parseQuantity } from '@beakertide/basis/units'
import type { Pour, Vessel } from '@beakertide/core/mixture'
import { countOf, fieldsOf, flagOf, inRange, isName, mapOf, type Notes, quantityOf, report, scalarOf, short, warn } from './fields.ts'

const vesselExample = '"jar: { holds: 2 L, depth: 9 cm, pours: [ 300 mL of A, 300 mL of B at 10 s ] }"'
const pourExample = '"300 mL of A at 10 s" or "{ pour: A, volume: 300 mL, at: 10 s }"'

/** All keys a vessel and a pour may have. */
export const vesselKeys = {
  required: [],
  optional: ['holds', 'depth', 'pours', 'stirred', 'count', 'like', 'starts at', 'closed', 'shaken', 'held before'],
  example: vesselExample,
}
export const pourKeys = { required: ['pour', 'volume'], optional: ['at', 'temperature'], example: pourExample }

/** A glass of ordinary width, for whoever states no depth; assumed, and said so. */
const ASSUMED_DEPTH_CM = 5
/** Longest day of one demonstration, s; beyond it a unit was meant differently. */
export const LONGEST_S = 48 * 3600
const MOST_VESSELS = 1000

/** One pour as written; the volume keeps its text for messages. */
export interface WrittenPour {
  readonly solution: string
  readonly volume: Quantity
  readonly atS: number
  /** As poured, K; the solution's own when absent. */
  readonly temperatureK?: number
  readonly span: Pour['span']
}

const volumeRange = { positive: true } as const
/** Water is liquid there; hotter pours boil in the hand. */
const pouredRange = { from: 273.15, to: 373.15, why: 'a liquid that is poured' } as const
const timeRange = { to: LONGEST_S, why: 'two days' } as const

/** "300 mL of A at 10 s" */
function readPourText(tree: Tree & { kind: 'scalar' }, where: string, notes: Notes): WrittenPour | null {
  const found = /^(.+?)\s+of\s+(.+?)(?:\s+at\s+(.+))?$/.exec(tree.text.trim())
  const [, amount, solution, at] = found ?? []
  if (amount === undefined || solution === undefined) {
    report(notes, 'not-a-pour', { where, span: tree.span }, `"${short(tree.text)}" is not a pour`, `write it as in ${pourExample}`)
    return null
  }
  const place = { where, span: tree.span }
  const volume = parseQuantity(amount, ['volume'], place)
  const time = at === undefined ? null : parseQuantity(at, ['time'], place)
  if (!volume.ok) notes.problems.push(...volume.problems)
  if (time && !time.ok) notes.problems.push(...time.problems)
  if (!volume.ok || (time && !time.ok)) return null
  const fits =
    inRange(volume.value, where, tree.span, notes, volumeRange) && (!time?.ok || inRange(time.value, where, tree.span, notes, timeRange))
  return fits ? { solution, volume: volume.value, atS: time?.ok ? time.value.value : 0, span: tree.span } : null
}

function readPour(tree: Tree, where: string, notes: Notes): WrittenPour | null {
  if (tree.kind === 'scalar' && !tree.isEmpty) return readPourText(tree, where, notes)
  const f = fieldsOf(tree, where, pourKeys, notes)
  if (!f) return null
  const pourTree = f.get('pour')
  const volumeTree = f.get('volume')
  const atTree = f.get('at')
  const solution = pourTree ? scalarOf(pourTree, `${where}, pour`, '"pour: A"', notes)?.text.trim() : undefined
  const volume = volumeTree ? quantityOf(volumeTree, `${where}, volume`, ['volume'], notes, volumeRange) : null
  const at = atTree ? quantityOf(atTree, `${where}, at`, ['time'], notes, timeRange) : undefined
  const warmTree = f.get('temperature')
  const warm = warmTree ? quantityOf(warmTree, `${where}, temperature`, ['temperature'], notes, pouredRange) : undefined
  if (solution === undefined || !volume || at === null || warm === null) return null
  const temperature = warm ? { temperatureK: warm.value } : {}
  return { solution, volume, atS: at?.value ?? 0, ...temperature, span: pourTree?.span ?? f.span }
}

/** All pours of a list; a solution that was never made is a problem where it is poured. */
export function readPours(tree: Tree, about: string, solutions: readonly string[] | null, notes: Notes): readonly WrittenPour[] {
  if (tree.kind !== 'list') {
    report(
      notes,
      'not-a-list',
      { where: `${about}, pours`, span: tree.span },
      'a list of pours is needed here',
      `write "pours: [ … ]" with entries as in ${pourExample}`,
    )
    return []
  }
  const pours: WrittenPour[] = []
  tree.items.forEach((item, i) => {
    const where = `${about}, pour ${i + 1}`
    const pour = readPour(item, where, notes)
    if (!pour) return
    if (solutions && !solutions.includes(pour.solution)) {
      const hint = suggestion(pour.solution, solutions)
      report(
        notes,
        'unknown-solution',
        { where, span: pour.span ?? item.span },
        `solution "${short(pour.solution)}" is poured but never made`,
        hint === '' ? 'make it under "solutions"' : hint,
      )
      return
    }
    pours.push(pour)
  })
  return pours
}

/** One name or a list of names of what the vessel held before; each must be a solution or a bottle of the document. */
function readHeldBefore(tree: Tree, where: string, known: readonly string[] | null, notes: Notes): readonly string[] {
  const trees = tree.kind === 'list' ? tree.items : [tree]
  return trees.flatMap((item) => {
    const name = scalarOf(item, `${where}, held before`, '"held before: A" or "held before: [ A, peroxide ]"', notes)?.text.trim()
    if (name === undefined) return []
    if (!known || known.includes(name)) return [name]
    const hint = suggestion(name, known)
    report(
      notes,
      'unknown-contents',
      { where, span: item.span },
      `"${short(name)}" is neither a solution nor a bottle of this document`,
      hint === '' ? 'name what stood in the vessel, or leave the entry out when it was rinsed' : hint,
    )
    return []
  })
}

/** A vessel with its pours as written; `complete` is false when one of them could not be read. */
export interface WrittenVessel {
  readonly vessel: Vessel
  readonly holds: Quantity | null
  readonly pours: readonly WrittenPour[]
  /** Before "starts at" of this vessel: what another vessel copies with "like". */
  readonly ownPours: readonly WrittenPour[]
  readonly complete: boolean
}

function readVessel(
  e: TreeEntry,
  solutions: readonly string[] | null,
  bottles: readonly string[] | null,
  before: readonly WrittenVessel[],
  notes: Notes,
): WrittenVessel | null {
  const where = `vessel "${e.key}"`
  const begun = notes.problems.length
  const f = fieldsOf(e.value, where, vesselKeys, notes)
  if (!f) return null
  const likeTree = f.get('like')
  const likeName = likeTree ? scalarOf(likeTree, `${where}, like`, '"like: jar"', notes)?.text.trim() : undefined
  const model = before.find((v) => v.vessel.id === likeName)
  if (likeTree && likeName !== undefined && !model) {
    const hint = suggestion(
      likeName,
      before.map((v) => v.vessel.id),
    )
    report(
      notes,
      'unknown-vessel',
      { where, span: likeTree.span },
      `"${short(likeName)}" is not a vessel written before this one`,
      hint === '' ? 'write the model vessel first' : hint,
    )
  }
  const holdsTree = f.get('holds')
  const holds = holdsTree
    ? quantityOf(holdsTree, `${where}, holds`, ['volume'], notes, { positive: true, to: 1000, why: 'a vessel' })
    : (model?.holds ?? null)
  const depthTree = f.get('depth')
  const depth = depthTree
    ? quantityOf(depthTree, `${where}, depth`, ['length'], notes, { from: 0.01, to: 300, why: 'a liquid looked through' })
    : null
  const stirredTree = f.get('stirred')
  const stirred = stirredTree ? flagOf(stirredTree, `${where}, stirred`, notes) : (model?.vessel.stirred ?? true)
  const closedTree = f.get('closed')
  const closed = closedTree ? flagOf(closedTree, `${where}, closed`, notes) : (model?.vessel.closed ?? false)
  const shakenTree = f.get('shaken')
  const shaken = shakenTree ? flagOf(shakenTree, `${where}, shaken`, notes) : (model?.vessel.shaken ?? false)
  const heldTree = f.get('held before')
  const known = solutions && bottles ? [...solutions, ...bottles] : null
  const heldBefore = heldTree ? readHeldBefore(heldTree, where, known, notes) : []
  const countTree = f.get('count')
  const count = countTree ? countOf(countTree, `${where}, count`, MOST_VESSELS, notes) : 1
  const startTree = f.get('starts at')
  const start = startTree ? quantityOf(startTree, `${where}, starts at`, ['time'], notes, timeRange) : undefined
  const poursTree = f.get('pours')
  const pours = poursTree ? readPours(poursTree, where, solutions, notes) : (model?.ownPours ?? [])
  const complete = notes.problems.length === begun && (model?.complete ?? true)
  if (pours.length === 0 && complete) {
    report(
      notes,
      'vessel-empty',
      { where, span: e.keySpan },
      'nothing is poured into this vessel',
      `write its pours, as in ${vesselExample}, or "like: " and the name of another vessel`,
    )
  }
  if (!depthTree && !model) {
    warn(
      notes,
      'depth-assumed',
      { where, span: e.keySpan },
      `no depth is stated; ${ASSUMED_DEPTH_CM} cm is assumed`,
      'state how deep the liquid is that people look through, as in "depth: 9 cm"; colours depend on it',
    )
  }
  const startS = start?.value ?? 0
  const shifted = pours.map((p) => ({ ...p, atS: p.atS + startS })).sort((a, b) => a.atS - b.atS)
  return {
    holds,
    pours: shifted,
    ownPours: pours,
    complete,
    vessel: {
      id: e.key,
      capacityL: holds?.value ?? null,
      depthCm: depth?.value ?? model?.vessel.depthCm ?? ASSUMED_DEPTH_CM,
      pours: shifted.map((p) => ({
        solution: p.solution,
        volumeL: p.volume.value,
        atS: p.atS,
        ...(p.temperatureK === undefined ? {} : { temperatureK: p.temperatureK }),
        ...(p.span ? { span: p.span } : {}),
      })),
      stirred: stirred ?? true,
      ...(closed ? { closed } : {}),
      ...(shaken ? { shaken } : {}),
      ...(heldBefore.length > 0 ? { heldBefore } : {}),
      count: count ?? 1,
      span: e.keySpan,
    },
  }
}

/** All vessels that could be read. */
export function readVessels(
  tree: Tree,
  about: string,
  solutions: readonly string[] | null,
  bottles: readonly string[] | null,
  notes: Notes,
): readonly WrittenVessel[] {
  const entries = mapOf(tree, about, vesselExample, notes)
  if (!entries) return []
  if (entries.length === 0)
    report(notes, 'no-vessel', { where: about, span: tree.span }, 'no vessel is named', `write one, as in ${vesselExample}`)
  const vessels: WrittenVessel[] = []
  for (const e of entries) {
    if (!isName(e.key, about, e.keySpan, notes)) continue
    const vessel = readVessel(e, solutions, bottles, vessels, notes)
    if (vessel) vessels.push(vessel)
  }
  return vessels
}
