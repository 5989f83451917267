/** Files that mean harm, or are broken: refused in a sentence, nothing runs, the page goes on. */
import { mkdtempSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, describe, expect, it } from 'vitest'
import { closeBrowser, openPage } from './support/open-page.ts'

afterAll(closeBrowser)

const folder = mkdtempSync(join(tmpdir(), 'beakertide-hostile-'))
function file(name: string, text: string): string {
  const path = join(folder, name)
  writeFileSync(path, text)
  return path
}
const give = (page: Page, ...paths: readonly string[]): Promise<void> => page.locator('input[type=file]').setInputFiles([...paths])

describe('hostile files', () => {
  it('a title that is a script stays a title', async () => {
    const { page, context, faults } = await openPage()
    await page.locator('.bench-page').waitFor()
    const title = '<img src=x onerror="globalThis.hurt=1"><script>globalThis.hurt=1</script>'
    await give(page, file('script.yaml', `beakertide: 1\ntitle: '${title}'\nreaction: slow\nstory: "${'<b>x</b>'}"\n`))
    await expect.poll(() => page.locator('.top-title').innerText()).toBe(title)
    await page.getByRole('link', { name: /^Bench/ }).click()
    await expect.poll(() => page.locator('.bench-open', { hasText: '<img' }).count()).toBe(1)
    expect(await page.evaluate(() => 'hurt' in globalThis)).toBe(false)
    expect(faults).toEqual([])
    await context.close()
  })

  it('50 MB is refused by its size, unread', async () => {
    const { page, context, faults } = await openPage()
    await page.locator('.bench-page').waitFor()
    await give(page, file('large.yaml', `beakertide: 1\ntitle: ${'x'.repeat(50_000_000)}`))
    await expect.poll(() => page.locator('.notice').innerText()).toMatch(/large\.yaml is too large/)
    expect(faults).toEqual([])
    await context.close()
  })

  it('aliases and entities that multiply end as problems, and the page still answers', async () => {
    const { page, context, faults } = await openPage()
    await page.locator('.bench-page').waitFor()
    const levels = 'bcdefghi'.split('').map((name, i) => `${name}: &${name} [${Array(9).fill(`*${'abcdefgh'[i]}`).join(', ')}]`)
    await give(page, file('bomb.yaml', `beakertide: 1\ntitle: bomb\na: &a [x, x]\n${levels.join('\n')}\n`))
    await page.locator('.problem-list li').first().waitFor({ timeout: 10_000 })
    await page.getByRole('link', { name: /^Bench/ }).click()
    const entities = [
      '<!ENTITY a "aaaaaaaaaa">',
      ...'bcdefghij'.split('').map((n, i) => `<!ENTITY ${n} "${`&${'abcdefghi'[i]};`.repeat(10)}">`),
    ]
    await give(
      page,
      file('model.yaml', 'beakertide: 1\ntitle: entities\nreaction: ./steps.yaml\n'),
      file('steps.yaml', 'name: own/steps\ntitle: t\nsteps from: model.xml\n'),
      file('model.xml', `<!DOCTYPE s [${entities.join('')}]><sbml>&j;</sbml>`),
    )
    await expect.poll(() => page.locator('.top-title').innerText()).toBe('entities')
    await page.locator('.problem-list li').first().waitFor({ timeout: 10_000 })
    await page.getByRole('link', { name: /^Bench/ }).click()
    await page.locator('.bench-page').waitFor()
    expect(faults).toEqual([])
    await context.close()
  })

  it('no document, two documents, binary: a sentence each', async () => {
    const { page, context, faults } = await openPage()
    await page.locator('.bench-page').waitFor()
    const two = file('two.yaml', 'beakertide: 1\ntitle: two\n')
    await give(page, two, file('three.yaml', 'beakertide: 1\ntitle: three\n'))
    await expect.poll(() => page.locator('.notice').innerText()).toMatch(/More than one/)
    await give(page, file('a.xml', '<a/>'), file('b.txt', 'b'))
    await expect.poll(() => page.locator('.notice').innerText()).toMatch(/not a demonstration/)
    await give(page, file('binary.yaml', '\0\u0001\uffff\ud800'.repeat(500)))
    await page.locator('.problem-list li').first().waitFor({ timeout: 10_000 })
    expect(faults).toEqual([])
    await context.close()
  })
})
