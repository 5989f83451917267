/** Amounts and what stands beside them, in a line of a recipe in free words. */

export interface FoundAmount {
  readonly start: number
  readonly end: number
  /** As written. */
  readonly written: string
  /** As a document writes it: a decimal point, a space, the unit of the documents. */
  readonly text: string
  /** `percent`: it does not say of what. `unclear`: spoons, drops, pinches, or a number that can be read in two ways. */
  readonly kind: 'mass' | 'volume' | 'concentration' | 'strength' | 'percent' | 'unclear'
}

/** An amount with the words that belong to it. */
export interface Piece {
  readonly text: string
  readonly amount: FoundAmount
  readonly name: string
  readonly strengths: readonly FoundAmount[]
  /** All words from the amount before, and to the next one. */
  readonly before: string
  readonly after: string
}

/** Unit as written -> as a document writes it. */
const UNITS: readonly (readonly [RegExp, string, FoundAmount['kind']])[] = [
  [/^(?:kg)$/, 'kg', 'mass'],
  [/^(?:mg)$/, 'mg', 'mass'],
  [/^(?:g|gr|grams?|gramm)$/i, 'g', 'mass'],
  [/^(?:ml|cm3|cm³|cc|millilit(?:er|re)[sn]?)$/i, 'mL', 'volume'],
  [/^(?:cl)$/i, 'cL', 'volume'],
  [/^(?:dl)$/i, 'dL', 'volume'],
  [/^(?:l|lit(?:er|re)[sn]?|dm3|dm³)$/i, 'L', 'volume'],
  [/^(?:µl|ul|μl)$/i, 'uL', 'volume'],
  [/^(?:mmol\/l|mmol\/dm3|mm)$/i, 'mmol/L', 'concentration'],
  [/^(?:mol\/l|mol\/dm3|mol\/dm³|m|-?molare?[rsnm]?)$/i, 'mol/L', 'concentration'],
  [/^(?:g\/l)$/i, 'g/L', 'concentration'],
  [/^%\s*\(?\s*(?:w\/w|m\/m)\s*\)?$|^(?:wt\.?\s*%|gew\.?-?\s*%|% by mass|% by weight)$/i, '% w/w', 'strength'],
  [/^%\s*\(?\s*(?:w\/v|m\/v)\s*\)?$/i, '% w/v', 'strength'],
  [/^%\s*\(?\s*(?:v\/v)\s*\)?$|^(?:vol\.?\s*%|vol\.?-?\s*%|% by volume)$/i, '% v/v', 'strength'],
  [/^(?:vol(?:umes?)?|vols)$/i, 'volumes', 'strength'],
  [/^(?:%|%-?ige?[rsnm]?|percent|prozent|-?prozentige?[rsnm]?|per\s+cent)$/i, '%', 'percent'],
  [
    /^(?:drops?|tropfen|tsp|tbsp|teaspoons?|tablespoons?|cups?|spatulas?|spatelspitzen?|pinch(?:es)?|prisen?|messerspitzen?|spatel|teelöffel|esslöffel|eßlöffel|tl|el|oz|lb)$/i,
    '',
    'unclear',
  ],
]
const UNIT =
  'kg|mg|µg|grams?|gramm|gr|g\\/[lL]|g|millilit(?:er|re)[sn]?|m[lL]|c[lL]|d[lL]|[µuμ][lL]|cm3|cm³|dm3|dm³|cc|lit(?:er|re)[sn]?|mmol\\/[lL]|mmol\\/dm3|mol\\/[lL]|mol\\/dm[3³]|-?molare?[rsnm]?|mM|M|[lL]|wt\\.?\\s*%|gew\\.?-?\\s*%|vol\\.?-?\\s*%|%\\s*\\(?\\s*(?:w\\/w|m\\/m|w\\/v|m\\/v|v\\/v)\\s*\\)?|% by (?:mass|weight|volume)|%-?ige?[rsnm]?|%|percent|-?prozentige?[rsnm]?|prozent|per cent|vol(?:umes?|s)?|drops?|tropfen|tsp|tbsp|teaspoons?|tablespoons?|cups?|spatulas?|spatelspitzen?|pinch(?:es)?|prisen?|messerspitzen?|spatel|teelöffel|esslöffel|eßlöffel|TL|EL|oz|lb'
const AMOUNT = new RegExp(
  `(\\d[\\d.,]*|[½¼¾]|(?:a|one|ein(?:em|en|er)?)(?=\\s+lit(?:er|re)\\b)|(?:a|one|two|few|some|ein(?:e|em|en|ige)?|zwei|drei|wenige)(?=\\s+(?:drops?|tropfen|spatula|spatel|pinch|prise|messerspitze|teelöffel|esslöffel)))\\s*(${UNIT})(?![\\p{L}\\d])`,
  'giu',
)

/** All amounts of a line. */
export function amountsIn(line: string): readonly FoundAmount[] {
  return [...line.matchAll(AMOUNT)].map((found) => {
    const [written, number = '', unit = ''] = found
    const start = found.index
    const [, documentUnit = '', kind = 'unclear'] = UNITS.find(([shape]) => shape.test(unit.trim())) ?? []
    // "in einem Liter"
    const value = kind === 'volume' && /^(?:a|one|ein\p{L}*)$/iu.test(number) ? '1' : plainNumber(number)
    const isReadable = value !== '' && kind !== 'unclear'
    return {
      start,
      end: start + written.length,
      written: written.trim(),
      text: isReadable ? `${value} ${documentUnit}` : '',
      kind: isReadable ? kind : 'unclear',
    }
  })
}

/**
 * A number with a decimal point, its digits as they were written; '' when it can be meant in two ways. A comma with three digits behind it
 * ("1,250 g") may part thousands or decimals, so it is not read; "1.250" is, as a point is the decimal sign of documents.
 */
export function plainNumber(written: string): string {
  const digits = /^[\d.,]+/.exec(written.trim())?.[0].replace(/[.,]+$/, '') ?? ''
  if (/^\d+(?:\.\d+)?$/.test(digits)) return digits
  if (/^\d+,\d+$/.test(digits)) return /^[1-9]\d{0,2},\d{3}$/.test(digits) ? '' : digits.replace(',', '.')
  if (/^\d{1,3}(?:,\d{3})+\.\d+$/.test(digits)) return digits.replaceAll(',', '')
  if (/^\d{1,3}(?:\.\d{3})+,\d+$/.test(digits)) return digits.replaceAll('.', '').replace(',', '.')
  return ''
}

const SAYS_A_NAME = /\p{L}{2}/u
const NO_NAME =
  /^(?:\s|[(),;:.+&–-]|\b(?:of|von|and|und|with|mit|plus|in|into|to|up|ad|auf|dissolved?|gelöst|löse|take|nimm|add|mix|made|make|fill(?:ed)?|solution|lösung|then|the|a|an|each|about|approx|ca|circa|etwa|rund|man|sie|werden|wird|löst|lösen|gibt|geben|füllt|füllen|wiegt|wiegen|nehmen|nehme|(?:ge|ver)?misch(?:e|en|t)|dann|danach|nun|zuerst|anschließend|dazu|noch|die|der|das|den|dem|eine[rsnm]?|ein|für|zum|zur|zu|jeweils|je|water|wasser)\b)*$/iu

/**
 * Amounts with their names. A name stands behind its amount ("4.3 g potassium iodate"), or before it ("potassium iodate 4.3 g"); which, the
 * line's own beginning says. Strengths belong to the amount they stand with.
 */
export function piecesOf(line: string): readonly Piece[] {
  const all = amountsIn(line)
  const isStrength = (a: FoundAmount, i: number): boolean =>
    a.kind === 'strength' || a.kind === 'percent' || (a.kind === 'concentration' && isBesideAnAmount(all, i))
  const amounts = all.filter((a, i) => !isStrength(a, i))
  const strengths = all.filter((a, i) => isStrength(a, i))
  const first = amounts[0]
  if (!first) return []
  const without = (from: number, to: number): string => {
    let text = ''
    let at = from
    for (const s of strengths.filter((x) => x.start >= from && x.end <= to)) {
      text += `${line.slice(at, s.start)} `
      at = s.end
    }
    return text + line.slice(at, to)
  }
  const isNameFirst = SAYS_A_NAME.test(without(0, first.start)) && !NO_NAME.test(without(0, first.start))
  return amounts.map((amount, i) => {
    const from = i === 0 ? 0 : amounts[i - 1]!.end
    const to = amounts[i + 1]?.start ?? line.length
    const before = without(from, amount.start)
    const after = without(amount.end, to)
    // A name before its amount reaches from the last comma or "and"; what is behind the amount is then in brackets only.
    const nameBefore = before.split(/[,+]|\b(?:and|und|plus)\b/i).at(-1) ?? ''
    const useBefore = isNameFirst && !NO_NAME.test(nameBefore)
    const own = useBefore
      ? strengths.filter(
          (s) =>
            s.start >= amount.start - nameBefore.length - widthOfStrengths(strengths, from, amount.start) &&
            s.end <= endOfOwn(line, amount, to),
        )
      : strengths.filter((s) => s.start >= (i === 0 ? 0 : amount.end) && s.end <= to)
    return {
      text: useBefore ? `${nameBefore}${line.slice(amount.start, amount.end)}` : line.slice(amount.start, to),
      amount,
      name: useBefore ? nameBefore : after,
      strengths: own,
      before,
      after,
    }
  })
}
/** A strength in brackets right behind the amount belongs to it; later ones to the next name. */
const endOfOwn = (line: string, amount: FoundAmount, to: number): number => {
  const comma = line.slice(amount.end, to).search(/,(?!\d)|\band\b|\bund\b/)
  return comma < 0 ? to : amount.end + comma
}
const widthOfStrengths = (strengths: readonly FoundAmount[], from: number, to: number): number =>
  strengths.filter((s) => s.start >= from && s.end <= to).reduce((sum, s) => sum + s.end - s.start, 0)

/** "20 mL of 2.5 mol/L acid": a concentration beside a volume is a strength; alone ("iodate 0.2 mol/L") it is the amount. */
function isBesideAnAmount(all: readonly FoundAmount[], index: number): boolean {
  const near = [all[index - 1], all[index + 1]]
  return near.some((a) => a !== undefined && (a.kind === 'volume' || a.kind === 'mass'))
}
