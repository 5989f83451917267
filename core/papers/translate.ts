/** A paper in another language. Names of the user's own, citations, numbers of statements and check characters stay as they are. */
import type { Block, LabelStatement, ListItem, Paper } from './paper.ts'
import type { Tell } from './telling.ts'

const item =
  (tell: Tell) =>
  (i: ListItem): ListItem =>
    typeof i === 'string' ? tell(i) : { ...i, text: tell(i.text), under: i.under.map(tell) }

const statement =
  (tell: Tell) =>
  (s: LabelStatement): LabelStatement => ({ ...s, text: tell(s.text) })

/** Names stay, numbers between them are told. */
const numbersTold = (text: string, tell: Tell): string => text.replace(/(?<![\w.])\d+\.\d+(?![\w.])/g, tell)

/** A line of the recipe: the name it begins with is the user's own. */
function line(text: string, tell: Tell): string {
  const at = text.indexOf(': ')
  return at < 0 ? tell(text) : text.slice(0, at + 2) + tell(text.slice(at + 2))
}

function translateBlock(b: Block, tell: Tell): Block {
  switch (b.block) {
    case 'heading':
    case 'text':
      return b.own === true ? b : { ...b, text: tell(b.text) }
    case 'danger':
      return {
        ...b,
        lines: b.lines.map((l) => ({ ...l, about: tell(l.about), what: tell(l.what), instead: tell(l.instead) })),
        standing: b.standing.map(tell),
      }
    case 'list':
      return b.own === true ? b : { ...b, items: b.items.map(item(tell)) }
    case 'table':
      return {
        ...b,
        ...(b.caption === undefined ? {} : { caption: tell(b.caption) }),
        columns: b.columns.map((c) => ({ ...c, title: c.ownTitle === true ? c.title : tell(c.title) })),
        rows: b.rows.map((r) =>
          r.map((cell, i) => {
            const column = b.columns[i]
            if (column?.own === true) return cell
            return column?.named === true ? numbersTold(cell, tell) : tell(cell)
          }),
        ),
      }
    case 'strip':
      return {
        ...b,
        caption: tell(b.caption),
        samples: b.samples.map((s) => ({ ...s, name: tell(s.name) })),
        turns: b.turns.map((t) => ({ ...t, from: tell(t.from), to: tell(t.to) })),
      }
    case 'traces':
      return { ...b, caption: tell(b.caption), traces: b.traces.map((t) => ({ ...t, name: tell(t.name), unit: tell(t.unit) })) }
    case 'labels':
      return {
        ...b,
        labels: b.labels.map((l) => ({
          ...l,
          volume: tell(l.volume),
          contents: l.contents.map(tell),
          signalWord: tell(l.signalWord),
          hazards: l.hazards.map(statement(tell)),
          precautions: l.precautions.map(statement(tell)),
          doubt: tell(l.doubt),
        })),
      }
    case 'cues':
      return { ...b, cues: b.cues.map((c) => ({ ...c, what: tell(c.what), between: tell(c.between), say: tell(c.say) })) }
    case 'fields':
      return { ...b, fields: b.fields.map(tell) }
    case 'checked':
      // The characters check what the lines say, not the letters they say it with.
      return {
        ...b,
        groups: b.groups.map((g) => ({ title: tell(g.title), lines: g.lines.map((l) => ({ ...l, text: line(l.text, tell) })) })),
      }
  }
}

/** The paper with every sentence told; a paper must be typeset before. */
export function translatePaper(paper: Paper, tell: Tell): Paper {
  return { ...paper, title: tell(paper.title), blocks: paper.blocks.map((b) => translateBlock(b, tell)) }
}
