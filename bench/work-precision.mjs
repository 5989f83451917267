// Pictures from the saved rows of one run of the bench:
//   BEAKERTIDE_PEERS=DIR npm run bench -- --save bench/rows.csv
//   BEAKERTIDE_PEERS=DIR npm run bench -- --scaling --save bench/rows-scaling.csv
//   npm run bench:pictures
// writes docs/pictures/work-precision.svg (time against digits, a panel a problem) and docs/pictures/work-precision-steps.svg (time of a step against its
// operations). The same rows give the same bytes.
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { rowsFromText } from './measure.mjs'

const here = (path) => fileURLToPath(new URL(path, import.meta.url))
const rowsOf = (path) => (existsSync(here(path)) ? rowsFromText(readFileSync(here(path), 'utf8')) : [])

/** Colour, dash and width of a line; those of others are thin and grey, told apart by dash. Colours apart for all kinds of colour vision: Okabe & Ito 2008. */
const lines = {
  'generated rodas4': { name: 'rodas4', colour: '#0072b2', dash: '', width: 2 },
  'generated rodas5p': { name: 'rodas5p', colour: '#d55e00', dash: '', width: 2 },
  'generated radau': { name: 'radau', colour: '#009e73', dash: '', width: 2 },
  'desolve-radau': { name: 'RADAU5', colour: '#444', dash: '', width: 1 },
  'desolve-lsode': { name: 'LSODE', colour: '#444', dash: '6 2', width: 1 },
  cvode: { name: 'CVODE, better of dense and KLU', colour: '#444', dash: '2 2', width: 1 },
  'gsl-bsimp': { name: 'GSL bsimp', colour: '#999', dash: '6 2 1 2', width: 1 },
  scipy: { name: 'SciPy, best of four', colour: '#999', dash: '1 3', width: 1 },
}

const number = (x) => String(Number(x.toFixed(1)))
const text = (x, y, what, more = '') => `<text x="${number(x)}" y="${number(y)}"${more}>${what}</text>`

/** Of several peers under one name, those points that no other beats in both. */
function frontier(points) {
  const sorted = [...points].sort((a, b) => a.ms - b.ms)
  const kept = []
  for (const p of sorted) if (p.digits > (kept.at(-1)?.digits ?? -Infinity)) kept.push(p)
  return kept
}

function pointsOf(rows, who) {
  const own = rows.filter((r) => (who === 'cvode' || who === 'scipy' ? r.who.startsWith(who) : r.who === who) && r.digits > 0.5)
  return frontier(own)
}

/** Decades of milliseconds as they are written. */
const written = (ms) =>
  ms >= 1000
    ? `${Math.round(ms / 1000)} s`
    : ms >= 1
      ? `${Math.round(ms)} ms`
      : ms >= 1e-3
        ? `${Math.round(ms * 1000)} µs`
        : `${Math.round(ms * 1e6)} ns`

function workPrecision(rows) {
  const problems = [...new Set(rows.map((r) => r.problem))]
  const [columns, wide, high, left, top] = [4, 190, 170, 48, 26]
  const across = wide + left + 14
  const down = high + top + 30
  const panelRows = Math.ceil(problems.length / columns)
  const width = columns * across + 10
  const height = panelRows * down + 62
  const out = []
  problems.forEach((problem, i) => {
    const own = rows.filter((r) => r.problem === problem)
    const shown = Object.keys(lines).map((who) => ({ who, points: pointsOf(own, who) }))
    const all = shown.flatMap((s) => s.points.map((p) => p.ms))
    const [low, most] = [Math.floor(Math.log10(Math.min(...all))), Math.ceil(Math.log10(Math.max(...all)))]
    const x0 = (i % columns) * across + left
    const y0 = Math.floor(i / columns) * down + top
    const x = (digits) => x0 + (wide * Math.min(digits, 11)) / 11
    const y = (ms) => y0 + high - (high * (Math.log10(ms) - low)) / (most - low)
    out.push(text(x0, y0 - 8, problem, ' font-weight="bold"'))
    for (let d = 1; d <= 11; d += 2) {
      out.push(`<path d="M${number(x(d))} ${y0}v${high}" stroke="#e4e4e4"/>`, text(x(d), y0 + high + 13, d, ' text-anchor="middle"'))
    }
    for (let e = low; e <= most; e++) {
      out.push(`<path d="M${x0} ${number(y(10 ** e))}h${wide}" stroke="#e4e4e4"/>`)
      out.push(text(x0 - 4, y(10 ** e) + 3, written(10 ** e), ' text-anchor="end"'))
    }
    for (const { who, points } of shown) {
      if (points.length === 0) continue
      const { colour, dash, width: stroke } = lines[who]
      const d = points.map((p, k) => `${k === 0 ? 'M' : 'L'}${number(x(p.digits))} ${number(y(p.ms))}`).join('')
      out.push(
        `<path d="${d}" fill="none" stroke="${colour}" stroke-width="${stroke}"${dash === '' ? '' : ` stroke-dasharray="${dash}"`}/>`,
      )
      if (stroke > 1)
        for (const p of points) out.push(`<circle cx="${number(x(p.digits))}" cy="${number(y(p.ms))}" r="2" fill="${colour}"/>`)
    }
  })
  const base = panelRows * down + 14
  Object.values(lines).forEach(({ name, colour, dash, width: stroke }, i) => {
    const x = left + (i % columns) * across
    const y = base + Math.floor(i / columns) * 18
    out.push(`<path d="M${x} ${y - 4}h26" stroke="${colour}" stroke-width="${stroke}"${dash === '' ? '' : ` stroke-dasharray="${dash}"`}/>`)
    out.push(text(x + 32, y, name))
  })
  out.push(
    text(
      left,
      base + 40,
      'time of one solve against correct digits at the end (all components); one run of the bench, each line its best points',
    ),
  )
  return svg(width, height, 'Time of a solve against correct digits', out)
}

function stepCost(rows) {
  const best = new Map()
  for (const r of rows) {
    if (r.operations === undefined) continue
    const us = (1000 * r.ms) / (r.steps + r.rejected)
    const key = `${r.problem} ${r.who}`
    if (!(best.get(key)?.us <= us)) best.set(key, { ...r, us })
  }
  const points = [...best.values()]
  const [wide, high, left, top] = [560, 380, 60, 30]
  const [x1, x2] = [2, 8]
  const [y1, y2] = [-1, 5]
  const x = (operations) => left + (wide * (Math.log10(operations) - x1)) / (x2 - x1)
  const y = (us) => top + high - (high * (Math.log10(us) - y1)) / (y2 - y1)
  const out = []
  for (let e = x1; e <= x2; e++) {
    out.push(`<path d="M${number(x(10 ** e))} ${top}v${high}" stroke="#e4e4e4"/>`)
    out.push(text(x(10 ** e), top + high + 15, (10 ** e).toLocaleString('en').replaceAll(',', ' '), ' text-anchor="middle"'))
  }
  for (let e = y1; e <= y2; e++) {
    out.push(`<path d="M${left} ${number(y(10 ** e))}h${wide}" stroke="#e4e4e4"/>`)
    out.push(text(left - 5, y(10 ** e) + 4, written(10 ** (e - 3)), ' text-anchor="end"'))
  }
  for (const perSecond of [0.1e9, 1e9, 3e9]) {
    const at = (operations) => (operations / perSecond) * 1e6
    const from = Math.max(10 ** x1, (10 ** y1 * perSecond) / 1e6)
    const to = Math.min(10 ** x2, (10 ** y2 * perSecond) / 1e6)
    out.push(
      `<path d="M${number(x(from))} ${number(y(at(from)))}L${number(x(to))} ${number(y(at(to)))}" stroke="#bbb" stroke-dasharray="4 3"/>`,
    )
    out.push(text(x(to) - 6, y(at(to)) + 14, `${perSecond / 1e9} operations/ns`, ' text-anchor="end" fill="#777"'))
  }
  for (const p of points) {
    const { colour } = lines[`generated ${p.who.split(' ')[1]}`]
    const hollow = p.who.startsWith('tables')
    out.push(
      `<circle cx="${number(x(p.operations))}" cy="${number(y(p.us))}" r="3.5" fill="${hollow ? '#fff' : colour}" stroke="${colour}"><title>${p.problem}, ${p.who}: ${p.operations} operations, ${number(p.us)} µs</title></circle>`,
    )
  }
  const names = new Map()
  for (const p of points) if (p.who === 'generated rodas4' || (p.who === 'tables rodas4' && p.operations > 1e5)) names.set(p.problem, p)
  for (const [name, p] of names) {
    const [px, py] = [number(x(p.operations)), number(y(p.us) + 12)]
    out.push(`<text transform="translate(${px} ${py}) rotate(60)" fill="#555" font-size="9">${name}</text>`)
  }
  out.push(text(left, top - 8, 'time of a step against its operations, counted from the structure'))
  out.push(text(left, top + high + 34, 'filled: generated code; hollow: tables; blue: rodas4, vermilion: rodas5p'))
  return svg(left + wide + 50, top + high + 44, 'Time of a step against its operations', out)
}

function svg(width, height, title, body) {
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}" font-family="sans-serif" font-size="11" fill="#111" role="img">`,
    `<title>${title}</title>`,
    `<rect width="${width}" height="${height}" fill="#fff"/>`,
    ...body,
    '</svg>',
    '',
  ].join('\n')
}

const rows = rowsOf('rows.csv')
if (rows.length === 0) {
  console.error('no rows: run the bench with --save bench/rows.csv first')
  process.exit(2)
}
writeFileSync(here('../docs/pictures/work-precision.svg'), workPrecision(rows))
writeFileSync(here('../docs/pictures/work-precision-steps.svg'), stepCost([...rows, ...rowsOf('rows-scaling.csv')]))
