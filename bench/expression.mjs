// A small reader of + - * / ** expressions for the bench's problem files. Nothing is evaluated as script: the trees become rate laws of core/mechanism.

const operations = { '+': 'add', '-': 'sub', '*': 'mul', '/': 'div', '**': 'pow' }

/** Law over slots: `slotOf(name)` is the slot of a name, or null when `numberOf(name)` gives its value. */
export function readLaw(text, slotOf, numberOf) {
  const tokens = text.match(/\*\*|[-+*/()]|[A-Za-z_]\w*|\d+(?:\.\d*)?(?:[eE][-+]?\d+)?/g) ?? []
  if (tokens.join('') !== text.replaceAll(/\s+/g, '')) throw new Error(`cannot read the expression "${text}"`)
  let at = 0
  const take = (token) => tokens[at] === token && ++at > 0
  const joined = (token, a, b) => ({ op: operations[token], a, b })
  function sum() {
    let a = product()
    for (;;) {
      if (take('+')) a = joined('+', a, product())
      else if (take('-')) a = joined('-', a, product())
      else return a
    }
  }
  function product() {
    let a = sign()
    for (;;) {
      if (take('*')) a = joined('*', a, sign())
      else if (take('/')) a = joined('/', a, sign())
      else return a
    }
  }
  function sign() {
    return take('-') ? { op: 'neg', a: sign() } : power()
  }
  function power() {
    const a = atom()
    return take('**') ? joined('**', a, sign()) : a
  }
  function atom() {
    if (take('(')) {
      const inside = sum()
      if (!take(')')) throw new Error(`a bracket is not closed in "${text}"`)
      return inside
    }
    const token = tokens[at++]
    if (token === undefined) throw new Error(`"${text}" ends too early`)
    if (/^\d/.test(token)) return { op: 'number', value: Number(token) }
    const slot = slotOf(token)
    if (slot !== null) return { op: 'slot', slot }
    const value = numberOf(token)
    if (value === undefined) throw new Error(`"${token}" is neither a species nor a constant`)
    return { op: 'number', value }
  }
  const tree = sum()
  if (at !== tokens.length) throw new Error(`unexpected "${tokens[at]}" in "${text}"`)
  return tree
}
