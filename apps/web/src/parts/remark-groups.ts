/** Remarks that say the same of several things, said once. Free of the framework. */
import type { Problem } from '@beakertide/basis/problems'

export interface RemarkGroup {
  readonly where: readonly string[]
  readonly what: string
  readonly todo: string
}

/** In the order in which each is first said. */
export function groupedRemarks(remarks: readonly Problem[]): readonly RemarkGroup[] {
  const groups = new Map<string, RemarkGroup>()
  for (const { where, what, todo } of remarks) {
    const key = `${what}\n${todo}`
    const before = groups.get(key)
    if (!before) groups.set(key, { where: [where], what, todo })
    else if (!before.where.includes(where)) groups.set(key, { ...before, where: [...before.where, where] })
  }
  return [...groups.values()]
}
