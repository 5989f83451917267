/**
 * The newcomer's path: docs/tutorial.md is read and followed to the letter, so a label, a message or a number that no longer stands on
 * the page fails here. `npm run pictures:tutorial` follows it too, and takes the pictures where they stand in the text.
 */
import { readFileSync, statSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { afterAll, describe, expect, it } from 'vitest'
import { followTutorial } from './support/follow-tutorial.ts'
import { closeBrowser, openPage } from './support/open-page.ts'
import { takePicture } from './support/tutorial-pictures.ts'
import { tutorialSteps } from './support/tutorial-steps.ts'

afterAll(closeBrowser)
/** ms; a long walk on a busy machine. */
const LONGEST = 120_000

const docs = fileURLToPath(new URL('../../../docs/', import.meta.url))
const tutorial = readFileSync(`${docs}tutorial.md`, 'utf8')
const takesPictures = process.env['BEAKERTIDE_TUTORIAL_PICTURES'] !== undefined
/** Bytes: a picture of a page of text, not a photograph, and not an empty one. */
const SMALLEST = 10_000
const LARGEST = 300_000

describe('the tutorial', { timeout: LONGEST }, () => {
  it('leads a newcomer from an empty desk to a rehearsal and a printed make-up sheet, word by word', async () => {
    const steps = tutorialSteps(tutorial)
    const { page, context, faults } = await openPage()
    await page.evaluate(() => {
      globalThis.print = () => {
        document.body.dataset['prints'] = String(Number(document.body.dataset['prints'] ?? 0) + 1)
      }
    })
    const sheets: Buffer[] = []
    await followTutorial(steps, {
      page,
      onPicture: async (file, shows, near) => {
        if (takesPictures) await takePicture(page, `${docs}${file}`, shows, near)
        const { size } = statSync(`${docs}${file}`)
        expect(size, file).toBeGreaterThan(SMALLEST)
        expect(size, file).toBeLessThan(LARGEST)
      },
      onPrinted: (pdf) => sheets.push(pdf),
    })
    expect(await page.evaluate(() => document.body.dataset['prints'])).toBe('1')
    expect(sheets).toHaveLength(1)
    // What it promises at all: a way through every part of a first day.
    expect(steps.filter(({ step }) => step.do === 'press' && step.isStop).map(({ step }) => 'label' in step && step.label)).toEqual(
      expect.arrayContaining(['Shelf', 'Make-up', 'Pour', 'Rehearsal', 'Papers']),
    )
    expect(steps.filter(({ step }) => step.do === 'picture').length).toBeGreaterThanOrEqual(6)
    expect(faults).toEqual([])
    await context.close()
  })

  it('has no step that only looks like one', () => {
    expect(() => tutorialSteps('## A\n\n1. Push **this**, then type `that`.')).toThrow(/cannot be followed: "1\. Push/)
    expect(tutorialSteps('## A\n\n1. Press **B**. You see\n   _C_.\n\n**D** is there.').map(({ step }) => step.do)).toEqual([
      'press',
      'see',
      'see the word',
    ])
  })

  it('says what has to be typed to start it, and that is so', () => {
    const { scripts, engines } = JSON.parse(readFileSync(`${docs}../package.json`, 'utf8')) as {
      scripts: Record<string, string>
      engines: { node: string }
    }
    expect(tutorial).toContain('```\nnpm ci && npm start\n```')
    expect(scripts['start']).toContain('server/start.js')
    expect(tutorial).toContain(`Node ${engines.node.replace('>=', '')} or newer`)
  })
})
