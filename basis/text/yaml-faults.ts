/** The YAML parser's faults in words that help at a bench: what is wrong, what to do. */
import type { ErrorCode } from 'yaml'

/** Said for every fault without words of its own. */
const usual = {
  what: 'this is not YAML',
  todo: 'check indentation (spaces, not tabs), a space after every colon, and closed quotes and brackets',
}

const words: Partial<Record<ErrorCode, { readonly what: string; readonly todo: string }>> = {
  TAB_AS_INDENT: { what: 'a tab stands where the line is indented', todo: 'indent with spaces; two for each level is usual' },
  MULTIPLE_DOCS: { what: 'a second document starts here ("---")', todo: 'keep one demonstration in one file' },
  BAD_INDENT: {
    what: 'the indentation does not fit the lines above, or a bracket is not closed',
    todo: 'put keys of one block under each other; close every "{" and "["',
  },
  MISSING_CHAR: { what: 'a quote or bracket opened above is not closed here, or a key has no colon', todo: usual.todo },
  MULTILINE_IMPLICIT_KEY: {
    what: 'a line has no ": " between key and value',
    todo: 'write a colon and a space after the key, as in "title: Tide"',
  },
  BLOCK_AS_IMPLICIT_KEY: {
    what: 'two keys stand in one line',
    todo: 'write one key a line, or put the inner map in braces, as in "A: { make: 1 L }"; put a text with ": " in quotes',
  },
  UNEXPECTED_TOKEN: { what: 'something stands here that does not fit', todo: usual.todo },
  BLOCK_IN_FLOW: { what: 'a block with dashes or indentation stands inside brackets', todo: 'use commas inside "[ ]" and "{ }"' },
  BAD_SCALAR_START: { what: 'a value starts with a sign that YAML keeps for itself', todo: 'put the value in quotes' },
  BAD_ALIAS: {
    what: '"*" points to another place of the file; aliases are not read here',
    todo: 'write the value out, or put it in quotes',
  },
  BAD_DIRECTIVE: { what: 'a line that starts with "%" is not read here', todo: 'remove the line' },
  BAD_DQ_ESCAPE: { what: 'a backslash in double quotes starts nothing known', todo: 'use single quotes, or write the backslash twice' },
  RESOURCE_EXHAUSTION: { what: 'the file is built to exhaust a reader', todo: 'give a plain demonstration file' },
  KEY_OVER_1024_CHARS: { what: 'a key is longer than 1024 characters', todo: 'write short keys' },
}

/** What to say of a parser fault; never the parser's own words. */
export function faultWords(code: ErrorCode): { readonly what: string; readonly todo: string } {
  return words[code] ?? usual
}
