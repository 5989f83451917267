/** What is said when the command line is used wrongly or fails: our words, with a next step. */
import { type ApplicationText, ArgumentScannerError, formatMessageForArgumentScannerError, text_en } from '@stricli/core'
import { BrokenInvariant, nearest, suggestion } from '@beakertide/basis/problems'
import { visibleText } from '@beakertide/core/papers'

const ended = (text: string): string => (/[.?]$/.test(text) ? text : `${text}.`)

/** A fault of ours asks for a report; it never shows a page of program text. */
export function faultText(error: unknown): string {
  const why = error instanceof Error ? error.message : String(error)
  const asks = error instanceof BrokenInvariant ? '' : ' (this is a fault in Beakertide: please report it with the input)'
  return visibleText(`Beakertide stopped: ${why}${asks}`)
}

const HELP = '"beakertide COMMAND --help" shows what a command takes.'

/** "did you mean …?" for flags: the library's own guesses are generous, ours must be near. */
function meant(input: string, names: readonly string[]): string {
  const near = nearest(input, names)
  return near.length > 0 ? `; did you mean ${near.map((n) => `"--${n}"`).join(' or ')}?` : '.'
}

/** The words of an argument error; each ends with what to do. */
function argumentText(error: unknown): string {
  if (!(error instanceof ArgumentScannerError)) return faultText(error)
  const said = formatMessageForArgumentScannerError(error, {
    AliasNotFoundError: ({ input }) => `There is no flag "-${input}".`,
    FlagNotFoundError: ({ input, corrections }) => `There is no flag "--${input}"${meant(input, corrections)}`,
    ArgumentParseError: ({ externalFlagNameOrPlaceholder: name, exception }) =>
      ended(`--${name}: ${exception instanceof Error ? exception.message : String(exception)}`),
    UnsatisfiedFlagError: ({ externalFlagName }) => `--${externalFlagName} needs a value after it.`,
    UnsatisfiedPositionalError: () => 'The demonstration file is missing: give its path, as in "examples/right/tide-in-a-jar.yaml".',
    UnexpectedPositionalError: ({ input, expectedCount }) =>
      `"${input}" is one argument too many: ${expectedCount === 1 ? 'one' : 'at most one'} at a time.`,
    UnexpectedFlagError: ({ externalFlagName }) => `--${externalFlagName} is given twice; give it once.`,
    InvalidNegatedFlagSyntaxError: ({ externalFlagName }) => `--${externalFlagName} takes no value.`,
  })
  return visibleText(`${said} ${HELP}`)
}

/** The command library's texts in our words. */
export function ourText(commands: readonly string[]): ApplicationText {
  return {
    ...text_en,
    headers: { ...text_en.headers, usage: 'HOW TO CALL IT' },
    briefs: { ...text_en.briefs, help: 'Show this help', helpAll: 'Show this help, hidden parts too', version: 'Show the version' },
    noCommandRegisteredForInput: ({ input }) =>
      visibleText(`There is no command "${input}"; ${ended(suggestion(input, commands))} "beakertide --help" explains them.`),
    exceptionWhileParsingArguments: argumentText,
    exceptionWhileLoadingCommandFunction: faultText,
    exceptionWhileLoadingCommandContext: faultText,
    exceptionWhileRunningCommand: faultText,
    commandErrorResult: faultText,
  }
}
