/** The command line: one program, its commands in the order of the day. */
import { buildApplication, buildRouteMap, run } from '@stricli/core'
import { EXIT } from './answer.ts'
import { aimCommand } from './commands/aim.ts'
import { checkCommand } from './commands/check.ts'
import { clearCommand } from './commands/clear.ts'
import { coastCommand } from './commands/coast.ts'
import { compareRecipesCommand } from './commands/compare-recipes.ts'
import { mechanismsCommand } from './commands/mechanisms.ts'
import { mistakesCommand } from './commands/mistakes.ts'
import { reasonsCommand } from './commands/reasons.ts'
import { rehearseCommand } from './commands/rehearse.ts'
import { dayCommand, sheetCommand } from './commands/sheet.ts'
import { sourcesCommand } from './commands/sources.ts'
import { varyCommand } from './commands/vary.ts'
import { weighCommand } from './commands/weigh.ts'
import { VERSION } from './imprint.ts'
import { type Door, realDoor } from './terminal/door.ts'
import { faultText, ourText } from './wrong-use.ts'

const routes = {
  day: dayCommand,
  check: checkCommand,
  weigh: weighCommand,
  rehearse: rehearseCommand,
  reasons: reasonsCommand,
  vary: varyCommand,
  coast: coastCommand,
  aim: aimCommand,
  mistakes: mistakesCommand,
  compareRecipes: compareRecipesCommand,
  clear: clearCommand,
  sheet: sheetCommand,
  mechanisms: mechanismsCommand,
  sources: sourcesCommand,
}

const commands = buildRouteMap<string, Door>({
  routes,
  docs: {
    brief: 'From a recipe file to weighings, a rehearsal and a clearing plan',
    fullDescription:
      'Takes a demonstration file (docs/demonstration-format.md) from the bottles on the shelf to a cleaned bench. Danger stands first in every answer. Exit code 0: done; 1: problems found; 2: used wrongly.',
  },
})

/** "compareRecipes" is written compare-recipes. */
const NAMES = Object.keys(routes).map((name) => name.replace(/[A-Z]/g, (c) => `-${c.toLowerCase()}`))

const application = buildApplication(commands, {
  name: 'beakertide',
  versionInfo: { currentVersion: VERSION },
  scanner: { caseStyle: 'allow-kebab-for-camel' },
  documentation: { caseStyle: 'convert-camel-to-kebab', useAliasInUsageLine: false, disableAnsiColor: true },
  localization: { text: ourText(NAMES) },
  determineExitCode: () => EXIT.problems,
})

/** Runs one command line and leaves its exit code at the door. */
export async function main(args: readonly string[], door: Door): Promise<void> {
  try {
    await run(application, args, door as never)
  } catch (error) {
    door.process.stderr.write(`${faultText(error)}\n`)
    door.process.exitCode = EXIT.problems
  }
  // The command library marks wrong use by codes below 0; ours are 0, 1, 2.
  if (typeof door.process.exitCode === 'number' && door.process.exitCode < 0) door.process.exitCode = EXIT.usedWrongly
}

export { realDoor }
