/** Does on the page what a tutorial says, as its reader would: finds things by what stands on them, and looks for what is promised. */
import type { Locator, Page } from 'playwright-core'
import { expect } from 'vitest'
import { pdfPages } from './pdf-text.ts'
import type { PlacedStep, Step, Which } from './tutorial-steps.ts'

/** A first rehearsal on a busy machine. */
const SLOW = { timeout: 20_000 }

/** Words of the tutorial; "…" stands for anything. */
const pattern = (words: string, extent: 'part' | 'whole' | 'beginning'): RegExp => {
  const body = words
    .split('…')
    .map((part) =>
      part
        .trim()
        .replace(/[.*+?^${}()|[\]\\]/g, String.raw`\$&`)
        .replace(/\s+/g, String.raw`\s+`),
    )
    .join(String.raw`[^\n]*?`)
  if (extent === 'part') return new RegExp(body)
  return new RegExp(extent === 'whole' ? `^\\s*${body}\\s*$` : `^\\s*${body}(?![\\w(])`)
}
/** A piece of paper has places, not spaces. */
const onPaper = (words: string): string => words.replace(/\s+/g, '')

/** The one that is meant; more or less than one is what would make a reader stumble. */
async function theOne(all: Locator, which: Which): Promise<Locator> {
  const visible = all.filter({ visible: true })
  await visible.first().waitFor(SLOW)
  if (which === 'last') return visible.last()
  if (which !== 'only') return visible.nth(['first', 'second', 'third'].indexOf(which))
  expect(await visible.count(), 'one thing of this name').toBe(1)
  return visible.first()
}

function pressed(page: Page, label: string, isStop: boolean): Locator {
  const name = pattern(label, 'whole')
  if (isStop) return page.locator('.day-rail a', { has: page.getByText(name) })
  return page
    .getByRole('button', { name })
    .or(page.getByRole('link', { name }))
    .or(page.locator('summary').filter({ hasText: name }))
}

const TEXTS = 'textarea, input[type=text], input[type=search], input:not([type])'
/** A field by its whole label, else by how its label begins: what stands in a list belongs to the label around it. */
async function labelled(page: Page, label: string, fields: string): Promise<Locator> {
  const begins = page.getByLabel(pattern(label, 'beginning')).and(page.locator(fields))
  await begins.filter({ visible: true }).first().waitFor(SLOW)
  const whole = page.getByLabel(pattern(label, 'whole')).and(page.locator(fields))
  return (await whole.filter({ visible: true }).count()) > 0 ? whole : begins
}

/** Everything a reader sees: words, and what stands in fields. */
const seenOn = (page: Page): Promise<string> =>
  page.evaluate(() =>
    [
      document.body.innerText,
      ...[...document.querySelectorAll<HTMLInputElement>('input[type=text], input:not([type])')]
        .filter((field) => field.checkVisibility())
        .map((field) => field.value),
    ].join('\n'),
  )

export interface Follower {
  readonly page: Page
  /** Called where a picture stands, with what the reader looked at last. */
  readonly onPicture: (file: string, shows: 'page' | 'paper', near: Locator | null) => Promise<void>
  /** The PDF of the last print, once there is one. */
  readonly onPrinted: (pdf: Buffer) => void
}

export async function followTutorial(steps: readonly PlacedStep[], follower: Follower): Promise<void> {
  let printed: readonly string[] = []
  /** What the reader used or saw last. */
  let last: Locator | null = null
  let shows: 'page' | 'paper' = 'page'
  for (const { where, step } of steps)
    try {
      last = (await follow(step)) ?? last
    } catch (error) {
      throw new Error(`Not as the tutorial says, at ${where}\n${JSON.stringify(step)}\n${(error as Error).message}`, { cause: error })
    }

  async function follow(step: Step): Promise<Locator | null> {
    const { page } = follower
    if (step.do !== 'picture' && step.do !== 'see on paper') shows = 'page'
    if (step.do === 'press') {
      const one = await theOne(pressed(page, step.label, step.isStop), step.which)
      await one.click(SLOW)
      return one
    }
    if (step.do === 'type') {
      const one = await theOne(await labelled(page, step.label, TEXTS), step.which)
      await one.fill(step.text, SLOW)
      const used = await one.elementHandle()
      // As a hand goes on to the next field; what was typed stands there still.
      await one.press('Tab')
      expect(await used?.evaluate((field) => (field as HTMLInputElement).value.replace(/\s+/g, ' '))).toContain(
        step.text.replace(/\s+/g, ' '),
      )
      return one
    }
    if (step.do === 'choose') {
      const one = await theOne(await labelled(page, step.label, 'select'), 'only')
      await one.selectOption({ label: step.option }, SLOW)
      return one
    }
    if (step.do === 'tick every') {
      const boxes = page.getByRole('checkbox', { name: pattern(step.label, 'whole') })
      await expect.poll(() => boxes.count(), SLOW).toBeGreaterThan(0)
      for (const box of await boxes.all()) await box.check(SLOW)
      return null
    }
    if (step.do === 'see ticked') {
      for (const label of step.labels) expect(await page.getByRole('checkbox', { name: label }).isChecked(), label).toBe(true)
      return null
    }
    if (step.do === 'see' || step.do === 'see the word') {
      await expect.poll(() => seenOn(page), SLOW).toMatch(pattern(step.text, 'part'))
      return page.getByText(pattern(step.text, 'part')).filter({ visible: true })
    }
    if (step.do === 'see on paper') {
      if (shows === 'page') {
        const pdf = await page.pdf({ preferCSSPageSize: true })
        follower.onPrinted(pdf)
        printed = pdfPages(pdf)
        shows = 'paper'
      }
      expect(printed.join('\n')).toContain(onPaper(step.text))
      return null
    }
    await follower.onPicture(step.file, shows, last)
    return null
  }
}
