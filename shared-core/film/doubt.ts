/**
 * 90 % point of the length of a normal vector of three with mean 0, from its covariance (row by row): the weighted sum of
 * chi-squares is taken for a scaled chi-square with the same mean and variance (Satterthwaite, Biometrics Bulletin 2 (1946)
 * 110–114), and its quantile by Wilson and Hilferty, Proc. Natl. Acad. Sci. 17 (1931) 684–688.
 */
export function lengthBound90(covariance: Float64Array): number {
  let trace = 0
  let squares = 0
  for (let i = 0; i < 3; i++) {
    trace += covariance[4 * i]!
    for (let j = 0; j < 3; j++) squares += covariance[3 * i + j]! * covariance[3 * j + i]!
  }
  if (!(trace > 0)) return 0
  const freedom = trace ** 2 / squares
  const by = 2 / (9 * freedom)
  return Math.sqrt(trace * (1 - by + normal90 * Math.sqrt(by)) ** 3)
}
/** 90 % point of the standard normal. */
const normal90 = 1.2815515655446004

/** F C Fᵀ for 3 × 3, row by row. */
export function framed(frame: Float64Array, covariance: Float64Array): Float64Array {
  const half = new Float64Array(9)
  const whole = new Float64Array(9)
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++)
      for (let k = 0; k < 3; k++) half[3 * i + j]! += frame[3 * i + k]! * covariance[3 * k + j]!
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++) for (let k = 0; k < 3; k++) whole[3 * i + j]! += half[3 * i + k]! * frame[3 * j + k]!
  return whole
}
