/** Changes of a document's text in place: the short ways of writing are opened when a change needs room, new keys go where they are best. */
import { type Outcome, refuse } from '@beakertide/basis/problems'
import { editYaml, readTree, type Tree, type YamlEdit, type YamlPath } from '@beakertide/basis/text'
import { keyOrder } from './key-order.ts'
import { isNameText, LONGEST_NAME } from './names.ts'
import { openedShortWay } from './short-ways.ts'

export interface DocumentEdit {
  readonly path: readonly (string | number)[]
  /** Undefined removes. */
  readonly value: unknown
}

const NAME = 'document'

/**
 * The text with the edits done in their order. What is written the short way ("iodate: 0.19 mol/L", "300 mL of A at 10 s", a bottle that
 * is a name alone) may be edited as if it were written out; it stays short where it can. Comments, order and the writer's form of
 * everything else stay. Refuses a text that cannot be read as YAML, and a path that leads nowhere.
 */
export function editText(text: string, edits: readonly DocumentEdit[]): Outcome<string> {
  let now = text
  for (const edit of edits) {
    const tree = readTree(now, NAME)
    if (!tree.ok) return tree
    const opened = openedFor(tree.value, edit)
    const changed = editYaml(now, opened, { name: NAME, keyOrder })
    if (!changed.ok) return changed
    now = changed.value
  }
  return { ok: true, value: now, warnings: [] }
}

/** The edit as edits of the text as it is written. */
function openedFor(tree: Tree, edit: DocumentEdit): readonly YamlEdit[] {
  let now: Tree | undefined = tree
  for (let i = 0; i < edit.path.length && now !== undefined; i++) {
    if (now.kind === 'scalar' && !now.isEmpty) {
      const at = edit.path.slice(0, i)
      const opened = openedShortWay(at, now.text, edit.path.slice(i), edit.value)
      return opened === null ? [edit] : [{ path: at, value: opened }]
    }
    now = step(now, edit.path[i]!)
  }
  return [edit]
}

function step(tree: Tree, key: string | number): Tree | undefined {
  if (tree.kind === 'map') return tree.entries.find((e) => e.key === key)?.value
  return tree.kind === 'list' && typeof key === 'number' ? tree.items[key] : undefined
}

/** What must be written for a name to change everywhere it is used. */
export interface Renaming {
  readonly of: 'bottle' | 'solution' | 'vessel'
  readonly from: string
  readonly to: string
}

/** The text with a bottle, solution or vessel called otherwise, wherever its name is used. */
export function renameInText(text: string, renaming: Renaming): Outcome<string> {
  const tree = readTree(text, NAME)
  if (!tree.ok) return tree
  const section = { bottle: 'bottles', solution: 'solutions', vessel: 'vessels' }[renaming.of]
  const list = step(tree.value, section)
  if (list === undefined || step(list, renaming.from) === undefined)
    return refuse({
      code: 'document/no-such-name',
      where: section,
      what: `there is no ${renaming.of} "${renaming.from}"`,
      todo: 'look at the text',
    })
  if (renaming.from === renaming.to) return { ok: true, value: text, warnings: [] }
  if (!isNameText(renaming.to))
    return refuse({
      code: 'document/name-not-taken',
      where: section,
      what: renaming.to === '' ? 'the name is empty' : `"${renaming.to.slice(0, LONGEST_NAME)}" cannot be a name here`,
      todo: `take up to ${LONGEST_NAME} letters, digits, spaces and - _ . + ( ), as in "A" or "iodate 2"`,
    })
  if (step(list, renaming.to) !== undefined)
    return refuse({
      code: 'document/name-taken',
      where: section,
      what: `there is a ${renaming.of} "${renaming.to}" already`,
      todo: 'take another name',
    })
  const uses = usesOf(tree.value, renaming)
  const keys: readonly YamlPath[] = [...uses.keys, [section, renaming.from]]
  return editYaml(text, [...uses.values, ...keys.map((path) => ({ path, renameTo: renaming.to }))], { name: NAME })
}

/** Where a name is used: as keys, and within values. */
function usesOf(tree: Tree, { of, from, to }: Renaming): { readonly keys: readonly YamlPath[]; readonly values: readonly YamlEdit[] } {
  const keys: YamlPath[] = []
  const values: YamlEdit[] = []
  const entriesAt = (node: Tree | undefined): readonly { readonly key: string; readonly value: Tree }[] =>
    node?.kind === 'map' ? node.entries : []
  const found = entriesAt(step(tree, 'found')).map((f) => ({ tree: f.value, path: ['found', f.key] as YamlPath }))
  const wholes = [{ tree, path: [] as YamlPath }, ...found]
  for (const whole of wholes) {
    // A found recipe with a bottle or solution of its own under this name speaks of its own.
    const section = of === 'bottle' ? 'bottles' : 'solutions'
    const own = step(whole.tree, section)
    const isOwn = whole.path.length > 0 && own !== undefined && step(own, from) !== undefined
    if (of === 'bottle' && !isOwn) {
      for (const s of entriesAt(step(whole.tree, 'solutions')))
        if (entriesAt(step(s.value, 'with')).some((e) => e.key === from)) keys.push([...whole.path, 'solutions', s.key, 'with', from])
    }
    if (whole.path.length > 0) continue
    for (const v of entriesAt(step(whole.tree, 'vessels'))) {
      const like = step(v.value, 'like')
      if (of === 'vessel' && like?.kind === 'scalar' && like.text.trim() === from)
        values.push({ path: ['vessels', v.key, 'like'], value: to })
      if (of !== 'vessel') values.push(...heldEdits(step(v.value, 'held before'), ['vessels', v.key, 'held before'], from, to))
      const pours = step(v.value, 'pours')
      if (of !== 'solution' || pours?.kind !== 'list') continue
      pours.items.forEach((pour, i) => {
        const at: YamlPath = ['vessels', v.key, 'pours', i]
        const name = pour.kind === 'map' ? step(pour, 'pour') : undefined
        if (name?.kind === 'scalar' && name.text.trim() === from) values.push({ path: [...at, 'pour'], value: to })
        const written = pour.kind === 'scalar' ? pour.text : null
        if (written === null) return
        const changed = openedShortWay(at, written, ['pour'], to)
        if (changed !== null && readsPourOf(written, from)) values.push({ path: at, value: changed })
      })
    }
  }
  return { keys, values }
}
/** One name, or a list of names, of what stood in a vessel before. */
function heldEdits(held: Tree | undefined, path: YamlPath, from: string, to: string): readonly YamlEdit[] {
  const isNamed = (t: Tree): boolean => t.kind === 'scalar' && t.text.trim() === from
  if (held === undefined) return []
  if (held.kind !== 'list') return isNamed(held) ? [{ path, value: to }] : []
  return held.items.flatMap((item, i) => (isNamed(item) ? [{ path: [...path, i], value: to }] : []))
}

const readsPourOf = (text: string, solution: string): boolean => /^.+?\s+of\s+(.+?)(?:\s+at\s+.+)?$/.exec(text.trim())?.[1] === solution
