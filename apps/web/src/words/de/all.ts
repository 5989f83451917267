import { bench } from './bench.ts'
import { clearing } from './clearing.ts'
import { document } from './document.ts'
import { found } from './found.ts'
import { makeup } from './makeup.ts'
import { measured } from './measured.ts'
import { papers } from './papers.ts'
import { perform } from './perform.ts'
import { pour } from './pour.ts'
import { reasons } from './reasons.ts'
import { rehearsal } from './rehearsal.ts'
import { rename } from './rename.ts'
import { shelf } from './shelf.ts'
import { shell } from './shell.ts'
import type { SameKeys } from '../phrases.ts'
import type { en } from '../en/all.ts'

export const de: SameKeys<typeof en> = {
  ...shell,
  ...bench,
  ...shelf,
  ...found,
  ...makeup,
  ...pour,
  ...rehearsal,
  ...rename,
  ...measured,
  ...reasons,
  ...perform,
  ...clearing,
  ...papers,
  ...document,
}
