// A small reader of + - * / ** expressions for the bench's problem files, with derivatives. Nothing is evaluated as script.

/** Tree of { op, a, b } | { op: 'number', value } | { op: 'name', name }. */
export function parse(text) {
  const tokens = text.match(/\*\*|[-+*/()]|[A-Za-z_]\w*|\d+(?:\.\d*)?(?:[eE][-+]?\d+)?/g) ?? []
  if (tokens.join('') !== text.replaceAll(/\s+/g, '')) throw new Error(`cannot read the expression "${text}"`)
  let at = 0
  const take = (token) => tokens[at] === token && ++at > 0
  function sum() {
    let a = product()
    for (;;) {
      if (take('+')) a = { op: '+', a, b: product() }
      else if (take('-')) a = { op: '-', a, b: product() }
      else return a
    }
  }
  function product() {
    let a = sign()
    for (;;) {
      if (take('*')) a = { op: '*', a, b: sign() }
      else if (take('/')) a = { op: '/', a, b: sign() }
      else return a
    }
  }
  function sign() {
    return take('-') ? { op: '-', a: { op: 'number', value: 0 }, b: sign() } : power()
  }
  function power() {
    const a = atom()
    return take('**') ? { op: '**', a, b: sign() } : a
  }
  function atom() {
    if (take('(')) {
      const inside = sum()
      if (!take(')')) throw new Error(`a bracket is not closed in "${text}"`)
      return inside
    }
    const token = tokens[at++]
    if (token === undefined) throw new Error(`"${text}" ends too early`)
    return /^\d/.test(token) ? { op: 'number', value: Number(token) } : { op: 'name', name: token }
  }
  const tree = sum()
  if (at !== tokens.length) throw new Error(`unexpected "${tokens[at]}" in "${text}"`)
  return tree
}

export function variables(e) {
  if (e.op === 'number') return []
  if (e.op === 'name') return [e.name]
  return [...new Set([...variables(e.a), ...variables(e.b)])]
}

const number = (value) => ({ op: 'number', value })
const zero = (e) => e.op === 'number' && e.value === 0

export function derivative(e, name) {
  if (e.op === 'number') return number(0)
  if (e.op === 'name') return number(e.name === name ? 1 : 0)
  const da = derivative(e.a, name)
  const db = derivative(e.b, name)
  if (zero(da) && zero(db)) return number(0)
  if (e.op === '+' || e.op === '-') return { op: e.op, a: da, b: db }
  if (e.op === '*') return { op: '+', a: { op: '*', a: da, b: e.b }, b: { op: '*', a: e.a, b: db } }
  if (e.op === '/') {
    const top = { op: '-', a: { op: '*', a: da, b: e.b }, b: { op: '*', a: e.a, b: db } }
    return { op: '/', a: top, b: { op: '*', a: e.b, b: e.b } }
  }
  if (e.b.op !== 'number') throw new Error('only constant powers can be differentiated')
  const lowered = { op: '**', a: e.a, b: number(e.b.value - 1) }
  return { op: '*', a: { op: '*', a: e.b, b: lowered }, b: da }
}

/** A function of the state array. */
export function evaluator(e, index, constants) {
  if (e.op === 'number') return () => e.value
  if (e.op === 'name') {
    const at = index.get(e.name)
    if (at !== undefined) return (y) => y[at]
    const value = constants[e.name]
    if (value === undefined) throw new Error(`"${e.name}" is neither a species nor a constant`)
    return () => value
  }
  const a = evaluator(e.a, index, constants)
  const b = evaluator(e.b, index, constants)
  if (e.op === '+') return (y) => a(y) + b(y)
  if (e.op === '-') return (y) => a(y) - b(y)
  if (e.op === '*') return (y) => a(y) * b(y)
  if (e.op === '/') return (y) => a(y) / b(y)
  return (y) => a(y) ** b(y)
}

/** { factor, powers } when the expression is a constant times whole powers of other names, else null. */
export function monomial(e, constants) {
  if (e.op === 'number') return { factor: e.value, powers: {} }
  if (e.op === 'name') return e.name in constants ? { factor: constants[e.name], powers: {} } : { factor: 1, powers: { [e.name]: 1 } }
  if (e.op === '*') {
    const a = monomial(e.a, constants)
    const b = monomial(e.b, constants)
    if (a === null || b === null) return null
    const powers = { ...a.powers }
    for (const [name, count] of Object.entries(b.powers)) powers[name] = (powers[name] ?? 0) + count
    return { factor: a.factor * b.factor, powers }
  }
  if (
    e.op === '**' &&
    e.a.op === 'name' &&
    !(e.a.name in constants) &&
    e.b.op === 'number' &&
    Number.isInteger(e.b.value) &&
    e.b.value > 0
  ) {
    return { factor: 1, powers: { [e.a.name]: e.b.value } }
  }
  return null
}
