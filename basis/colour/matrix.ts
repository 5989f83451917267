/** Three by three matrices by rows, for colour spaces. */
export type Triple = readonly [number, number, number]
export type Matrix = readonly [Triple, Triple, Triple]

/** M v */
export function times(m: Matrix, v: Triple): [number, number, number] {
  return [along(m[0], v[0], v[1], v[2]), along(m[1], v[0], v[1], v[2]), along(m[2], v[0], v[1], v[2])]
}

/** One row times a vector given as plain numbers, for where a colour must not cost an array. */
export function along(row: Triple, x: number, y: number, z: number): number {
  return row[0] * x + row[1] * y + row[2] * z
}

/** A B */
export function product(a: Matrix, b: Matrix): Matrix {
  const column = (j: 0 | 1 | 2): Triple => times(a, [b[0][j], b[1][j], b[2][j]])
  const [x, y, z] = [column(0), column(1), column(2)]
  return [
    [x[0], y[0], z[0]],
    [x[1], y[1], z[1]],
    [x[2], y[2], z[2]],
  ]
}

/** M⁻¹ by cofactors; the matrices here are fixed and far from singular. */
export function inverse([[a, b, c], [d, e, f], [g, h, i]]: Matrix): Matrix {
  const determinant = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)
  const over = (x: number): number => x / determinant
  return [
    [over(e * i - f * h), over(c * h - b * i), over(b * f - c * e)],
    [over(f * g - d * i), over(a * i - c * g), over(c * d - a * f)],
    [over(d * h - e * g), over(b * g - a * h), over(a * e - b * d)],
  ]
}

/** The matrix with `v` on its diagonal. */
export function diagonal(v: Triple): Matrix {
  return [
    [v[0], 0, 0],
    [0, v[1], 0],
    [0, 0, v[2]],
  ]
}
