#!/usr/bin/env node
// Draws docs/pictures/ from what the program really writes: the terminal answer, the page of papers (wide, on a telephone,
// printed). Needs an installed Chromium and, for the printed sheet, pdftoppm; both are asked for by name when missing.
// Usage: npm run build && node tools/pictures.mjs [demonstration file] [folder for the pictures]
import { execFileSync, spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'

const here = (path) => new URL(`../${path}`, import.meta.url)
const document = process.argv[2] ?? here('examples/right/tide-in-a-jar.yaml').pathname
const out = process.argv[3] ?? here('docs/pictures').pathname
const work = mkdtempSync(join(tmpdir(), 'beakertide-pictures-'))
const { main, realDoor } = await import(here('apps/cli/dist/main.js').href)

const runs = (program) => !spawnSync(program, ['--version'], { stdio: 'ignore' }).error
const chromium = ['chromium', 'chromium-browser', 'google-chrome'].find(runs)
if (!chromium) {
  console.error('No Chromium is installed. On Debian or Ubuntu: apt-get install -y chromium')
  process.exit(2)
}

/** A terminal of this width with colours; what is written to it is kept. */
async function answer(args, columns) {
  let text = ''
  const stdout = { isTTY: true, columns, write: (part) => void (text += part) }
  const process = { stdout, stderr: { write: () => undefined }, env: {}, exitCode: 0 }
  await main(args, { ...realDoor(), process, today: () => '2025-01-01 12:00' })
  return text
}

const escaped = (text) => text.replace(/[&<>]/g, (c) => `&#${c.charCodeAt(0)};`)

/** Terminal text with bold and true colour as HTML. */
function terminalPage(text, columns, ground, ink) {
  let bold = false
  let fg = null
  let bg = null
  const parts = []
  text.split('\u001b[').forEach((piece, i) => {
    const [, codes = '', words = ''] = i === 0 ? [null, '', piece] : /^([\d;]*)m([^]*)$/.exec(piece)
    const n = codes.split(';').map(Number)
    if (i > 0 && n[0] === 0) [bold, fg, bg] = [false, null, null]
    else if (n[0] === 1) bold = true
    else if (n[0] === 38) fg = `rgb(${n.slice(2).join()})`
    else if (n[0] === 48) bg = `rgb(${n.slice(2).join()})`
    if (words === '') return
    const style = `${bold ? 'font-weight:700;' : ''}${fg ? `color:${fg};` : ''}${bg ? `background:${bg};` : ''}`
    parts.push(style === '' ? escaped(words) : `<span style="${style}">${escaped(words)}</span>`)
  })
  return `<!doctype html><meta charset="utf-8"><style>body{margin:0;background:${ground};color:${ink}}
pre{margin:16px 20px;font:15px/18px "DejaVu Sans Mono",monospace;width:${columns}ch}span{display:inline-block;line-height:18px;height:18px}</style><pre>${parts.join('')}</pre>`
}

function shoot(page, name, width, height) {
  execFileSync(
    chromium,
    [
      '--headless=new',
      '--no-sandbox',
      '--disable-gpu',
      '--hide-scrollbars',
      `--window-size=${width},${height}`,
      `--screenshot=${join(out, name)}`,
      pathToFileURL(page).href,
    ],
    { stdio: 'ignore' },
  )
  console.log(`wrote ${name}`)
}

mkdirSync(out, { recursive: true })
const sheet = join(work, 'sheet.html')
const day = await answer(['day', document, '--band', '20', '--out', sheet], 100)
const lines = day.split('\n')
const from = lines.findIndex((l) => l.includes('Go or no-go'))
const to = lines.findIndex((l) => l.includes('Clearing'))
const terminal = join(work, 'terminal.html')
writeFileSync(
  terminal,
  terminalPage(
    [...lines.slice(0, 8), '  … and so on: all cautions stand here, in full …', '', ...lines.slice(from, to)].join('\n'),
    100,
    '#1d1d1b',
    '#e8e4d8',
  ),
)
shoot(terminal, 'terminal.png', 950, 1330)

// One paper, so that the picture is not the length of the page: the rehearsal.
const whole = readFileSync(sheet, 'utf8')
const rehearsal = join(work, 'rehearsal.html')
writeFileSync(rehearsal, whole.replace(/<section class="paper" id="paper-[1245]">[^]*?<\/section>/g, ''))
shoot(rehearsal, 'rehearsal-sheet.png', 1100, 1750)
// Chromium's own window is never narrower than 500 px; a frame is.
const phone = join(work, 'telephone.html')
// The copy gets an anchor, so that the picture shows the strip and not only the dangers above it.
const narrow = join(work, 'narrow.html')
writeFileSync(narrow, readFileSync(rehearsal, 'utf8').replace(/<h2>(?=Vessel)/, '<h2 id="strip">'))
writeFileSync(
  phone,
  `<style>body{margin:0;background:#888}</style><iframe src="${pathToFileURL(narrow).href}#strip" width="390" height="1100" style="border:0"></iframe>`,
)
shoot(phone, 'telephone.png', 500, 1100)

if (runs('pdftoppm')) {
  const pdf = join(work, 'sheet.pdf')
  execFileSync(
    chromium,
    ['--headless=new', '--no-sandbox', '--disable-gpu', '--no-pdf-header-footer', `--print-to-pdf=${pdf}`, pathToFileURL(sheet).href],
    { stdio: 'ignore' },
  )
  execFileSync('pdftoppm', ['-png', '-gray', '-r', '60', pdf, join(work, 'page')])
  execFileSync('pdftoppm', ['-png', '-gray', '-r', '80', '-f', '3', '-l', '3', '-singlefile', pdf, join(out, 'printed')])
  console.log('wrote printed.png')
} else console.log('pdftoppm is missing, so no printed.png: apt-get install -y poppler-utils')
if (process.env.KEEP) console.log(`kept ${work}`)
else rmSync(work, { recursive: true })
