import { expect, it } from 'vitest'
import { groupedRemarks } from './remark-groups.ts'

it('says once what is said of several things', () => {
  const remark = (where: string, what: string) => ({ code: 'a/b', where, what, todo: 'look' })
  expect(groupedRemarks([remark('left', 'x'), remark('list', 'y'), remark('right', 'x'), remark('list', 'y')])).toEqual([
    { where: ['left', 'right'], what: 'x', todo: 'look' },
    { where: ['list'], what: 'y', todo: 'look' },
  ])
})
