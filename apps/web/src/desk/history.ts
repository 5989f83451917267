/** Undo and redo over whole texts. Pure; times are given. */
import type { DocumentText } from '../work/contract.ts'

export interface Entry {
  readonly document: DocumentText
  /** What led to this text, in words; for the first: ''. */
  readonly label: string
  readonly at: number
  /** Typing joins what was typed just before. */
  readonly joins: boolean
}
export interface History {
  readonly past: readonly Entry[]
  readonly now: Entry
  readonly future: readonly Entry[]
}

/** A pause in typing, ms. */
const PAUSE_MS = 1200
/** Texts kept for undo; equal parts of texts share their memory in every engine. */
const MOST = 400

export function begin(document: DocumentText, at: number): History {
  return { past: [], now: { document, label: '', at, joins: false }, future: [] }
}

/** The text after a change. Typing within a pause of typing is one entry. The same text changes nothing. */
export function record(history: History, document: DocumentText, label: string, at: number, joins: boolean): History {
  if (document.text === history.now.document.text && document.beside === history.now.document.beside) return history
  const entry: Entry = { document, label, at, joins }
  const isGoingOn =
    joins && history.now.joins && history.now.label === label && at - history.now.at < PAUSE_MS && history.future.length === 0
  if (isGoingOn) return { ...history, now: entry }
  return { past: [...history.past, history.now].slice(-MOST), now: entry, future: [] }
}

/** One step back; the same history when there is none. */
export function back(history: History): History {
  const before = history.past.at(-1)
  if (!before) return history
  return { past: history.past.slice(0, -1), now: { ...before, joins: false }, future: [history.now, ...history.future] }
}

/** One step forward again. */
export function forward(history: History): History {
  const [next, ...rest] = history.future
  if (!next) return history
  return { past: [...history.past, history.now], now: { ...next, joins: false }, future: rest }
}

/** What undo would take back, and what redo would bring again; null: nothing. */
export const undoLabel = (history: History): string | null => (history.past.length > 0 ? history.now.label : null)
export const redoLabel = (history: History): string | null => history.future[0]?.label ?? null
