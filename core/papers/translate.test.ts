import { describe, expect, it } from 'vitest'
import { htmlPage, usualPrint } from './html-page.ts'
import type { Block, Paper } from './paper.ts'
import type { Tell } from './telling.ts'
import { translatePaper } from './translate.ts'

/** Marks what was told, so that what was not is seen. */
const shout: Tell = (text) => (text === '' ? '' : `«${text}»`)

const paperOf = (...blocks: readonly Block[]): Paper => ({ kind: 'test', title: 'Cues: x', blocks })
const told = (block: Block): string => JSON.stringify(translatePaper(paperOf(block), shout).blocks[0])

describe('a paper in another language', () => {
  it('tells title, sentences, captions, cells and labels', () => {
    expect(translatePaper(paperOf(), shout).title).toBe('«Cues: x»')
    expect(told({ block: 'text', text: 'a sentence' })).toContain('«a sentence»')
    expect(
      told({
        block: 'danger',
        lines: [{ severity: 4, refused: true, onlyIf: false, about: 'a', what: 'b', instead: 'c' }],
        standing: ['d'],
      }),
    ).toMatch(/«a».*«b».*«c».*«d»/)
    expect(told({ block: 'traces', caption: 'c', traces: [{ name: 'n', unit: 'V', timesS: [], values: [] }] })).toContain('«n»')
  })
  it('leaves names of the user’s own, citations and codes as they are', () => {
    const table = told({
      block: 'table',
      columns: [
        { title: 'bottle', align: 'left', own: true },
        { title: 'iodate', align: 'left', ownTitle: true },
      ],
      rows: [['iodate', 'iodate']],
    })
    expect(table).toContain('"rows":[["iodate","«iodate»"]]')
    expect(table).toContain('"title":"«bottle»"')
    expect(table).toContain('"title":"iodate"')
    expect(told({ block: 'list', ordered: false, items: ['J. Chem. 1'], own: true })).toContain('"J. Chem. 1"')
    expect(told({ block: 'text', text: 'my story', own: true })).toContain('"my story"')
    expect(told({ block: 'list', ordered: true, items: [{ of: 'iodate', text: 'wait', under: ['so'], danger: true }] })).toMatch(
      /"of":"iodate","text":"«wait»","under":\["«so»"\],"danger":true/,
    )
    const label = {
      name: 'A',
      volume: '1 L',
      volumeL: 1,
      contents: ['x'],
      signalWord: 'Danger',
      pictograms: [],
      precautions: [],
      doubt: '',
    }
    expect(told({ block: 'labels', labels: [{ ...label, hazards: [{ code: 'H318', text: 'y' }] }] })).toMatch(
      /"name":"A".*«Danger».*"code":"H318","text":"«y»"/,
    )
  })
  it('tells the lines of a recipe behind their names, and leaves the check characters', () => {
    const checked = told({
      block: 'checked',
      groups: [{ title: 'Solutions', lines: [{ text: 'iodate: make 500 mL', code: 'K7' }] }],
      page: 'QX',
    })
    expect(checked).toContain('"text":"iodate: «make 500 mL»","code":"K7"')
    expect(checked).toContain('"page":"QX"')
  })
  it('draws a page of that language, with its own words told and made harmless', () => {
    const page = htmlPage(
      'x',
      [
        paperOf(
          { block: 'danger', lines: [], standing: ['s'] },
          { block: 'list', ordered: false, items: [{ text: 'Hot.', under: [], danger: true, of: 'A' }, 'DANGER. Cold.', 'Mild.'] },
          { block: 'cues', letters: 'large', cues: [{ atS: 0, kind: 'pour', what: 'w', between: '', say: '' }] },
        ),
      ],
      { from: 'f', by: 'b', at: 'now' },
      { ...usualPrint, telling: { language: 'de', tell: (text) => (text === 'DANGER.' ? 'GEFAHR.' : `<i>${text}`) } },
    )
    expect(page).toContain('<html lang="de">')
    expect(page).toContain('<strong>Gefahr.</strong> A: Hot.')
    expect(page).toContain('&lt;i&gt;Danger first')
    expect(page).toContain('&lt;i&gt;pour')
    expect(page).toContain('&lt;i&gt;written')
    expect(page).not.toContain('<i>')
  })
})
