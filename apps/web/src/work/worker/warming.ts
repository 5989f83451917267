/**
 * The first looks of a worker take many times as long as the later ones, because the engine has not translated the code yet. So after a first
 * look, while nothing is asked, changes around the recipe are looked at and thrown away; a slider that is taken then finds the worker warm.
 */
import type { DocumentText } from '../contract.ts'

/** Looks until the engine has translated what a look runs (measured: the time of a look falls for about so many). */
const FIRST_LOOKS = 40
/** Another document brings another mechanism, but most of the code is the same. */
const LATER_LOOKS = 8
/** The page is left alone for so long after an answer, ms … */
const QUIET_MS = 150
/** … and between two looks, so that what is asked waits for one of them at most. */
const BETWEEN_MS = 5
/** Changes are small: the same course, but not the same numbers. */
const STEP = 0.02

export interface Warming {
  /** Something was asked; it goes before. */
  asked(): void
  /** A look was answered. */
  looked(document: DocumentText, vessel: string): void
}

/** @param look looks with the first ingredient so many times the recipe's; @param later calls back after so many ms */
export function createWarming(
  look: (document: DocumentText, vessel: string, factor: number) => void,
  later: (then: () => void, ms: number) => void,
): Warming {
  let round = 0
  let left = 0
  let isFirst = true
  let subject = ''
  return {
    asked() {
      round++
    },
    looked(document, vessel) {
      const now = `${vessel}\n${document.text}`
      if (now !== subject) {
        subject = now
        left = Math.max(left, isFirst ? FIRST_LOOKS : LATER_LOOKS)
        isFirst = false
      }
      const mine = ++round
      const step = (): void => {
        if (mine !== round || left === 0) return
        left--
        look(document, vessel, 1 + STEP * ((left % 9) - 4))
        later(step, BETWEEN_MS)
      }
      if (left > 0) later(step, QUIET_MS)
    },
  }
}
