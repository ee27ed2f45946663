/**
 * Cholesky factors of symmetric positive definite matrices in flat arrays, row by row. ml-matrix has the same, an order of
 * magnitude slower at the 200 to 400 unknowns of a rack, and this is what a fit waits for.
 * Source: Golub and Van Loan, Matrix Computations, 4th ed., §4.2.
 */

/** Lower factor in place of the lower half. @returns false where the matrix is not positive definite */
export function factorise(a: Float64Array, n: number): boolean {
  for (let i = 0; i < n; i++) {
    const row = i * n
    for (let j = 0; j <= i; j++) {
      const other = j * n
      let sum = a[row + j]!
      for (let k = 0; k < j; k++) sum -= a[row + k]! * a[other + k]!
      if (i === j) {
        if (!(sum > 0)) return false
        a[row + i] = Math.sqrt(sum)
      } else a[row + j] = sum / a[other + j]!
    }
  }
  return true
}

/** Solves L Lᵀ x = b in place of b. */
export function solveFactored(l: Float64Array, n: number, b: Float64Array): void {
  for (let i = 0; i < n; i++) {
    let sum = b[i]!
    for (let k = 0; k < i; k++) sum -= l[i * n + k]! * b[k]!
    b[i] = sum / l[i * n + i]!
  }
  for (let i = n - 1; i >= 0; i--) {
    const value = b[i]! / l[i * n + i]!
    b[i] = value
    for (let k = 0; k < i; k++) b[k]! -= l[i * n + k]! * value
  }
}

/** (L Lᵀ)⁻¹, both halves. */
export function inverseFactored(l: Float64Array, n: number): Float64Array {
  // rows of M = L⁻¹ transposed, so that the innermost loop runs along memory
  const inverse = new Float64Array(n * n)
  for (let j = 0; j < n; j++) {
    const column = j * n
    inverse[column + j] = 1 / l[j * n + j]!
    for (let i = j + 1; i < n; i++) {
      let sum = 0
      for (let k = j; k < i; k++) sum -= l[i * n + k]! * inverse[column + k]!
      inverse[column + i] = sum / l[i * n + i]!
    }
  }
  const product = new Float64Array(n * n)
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0
      for (let k = i; k < n; k++) sum += inverse[i * n + k]! * inverse[j * n + k]!
      product[i * n + j] = sum
      product[j * n + i] = sum
    }
  }
  return product
}
