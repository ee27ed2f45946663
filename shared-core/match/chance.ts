/**
 * The 90 % point of the length of a vector of three independent standard normal errors (chi with 3 degrees of freedom):
 * the root of 6.251389, the 90 % point of chi-squared. It turns a 90 % bound of dE00 into the standard deviation in
 * each of its three directions.
 * Source: Abramowitz and Stegun, Handbook of Mathematical Functions (1964), table 26.8, Q = 0.1, ν = 3.
 */
export const sigmasIn90 = Math.sqrt(6.251388631170325)

/**
 * Where the series gives way to the continued fraction: erfc as the rest of the series has lost 1e-13 of itself there.
 */
const seriesUpTo = 2

/**
 * Error function, and 1 less it. For small arguments the series whose terms are all positive, else a continued
 * fraction.
 * Source: NIST Digital Library of Mathematical Functions, 7.6.2 and 7.9.2.
 * @param x  any number. @returns  erf within 1e-14, erfc within 1e-13 of itself; NaN in, NaN out
 */
export function erf(x: number): number {
  if (x < 0) return -erf(-x)
  return x <= seriesUpTo ? erfSeries(x) : 1 - erfcFraction(x)
}
export function erfc(x: number): number {
  if (x < 0) return 2 - erfc(-x)
  return x <= seriesUpTo ? 1 - erfSeries(x) : erfcFraction(x)
}

function erfSeries(x: number): number {
  let term = x
  let sum = x
  for (let n = 1; term > sum * 1e-17; n++) {
    term *= (2 * x * x) / (2 * n + 1)
    sum += term
  }
  return (2 / Math.sqrt(Math.PI)) * Math.exp(-x * x) * sum
}

function erfcFraction(x: number): number {
  let below = x
  for (let n = 120; n >= 1; n--) below = x + n / 2 / below
  return Math.exp(-x * x) / (Math.sqrt(Math.PI) * below)
}

/**
 * How likely a point lies within `radius` of the origin, when each of its three coordinates is normal with standard
 * deviation 1 and its mean lies `distance` from the origin: the noncentral chi distribution with 3 degrees of freedom.
 *
 * The density of the length r is that of the direction towards the mean, a sphere being cut by planes across it in
 * rings of equal area: f(r) = (r / λ) (φ(r − λ) − φ(r + λ)), λ the distance and φ the normal density. With ∫ u φ(u) du
 * = −φ(u) the integral from 0 to R is
 *     F = Φ(R − λ) + Φ(R + λ) − 1 − (φ(R − λ) − φ(R + λ)) / λ,
 * where φ(R − λ) − φ(R + λ) = φ(R − λ) (1 − e^(−2 R λ)), which goes to 2 R φ(R) as λ goes to 0. In other words 1 − Q(λ,
 * R), the generalised Marcum function of order 3/2.
 * Source: worked out here; the same closed form for half-odd orders in Sun, Baricz, Zhou, IEEE Trans. Inf. Theory 56
 * (2010) 1166–1186 (citation from memory); numbers are checked in test/published/noncentral-chi.test.ts.
 * @param radius, distance  0 or more. @returns  0 to 1, within 1e-13; falls with the distance
 */
export function chanceWithin(radius: number, distance: number): number {
  const [near, far] = [radius - distance, radius + distance]
  const root = Math.SQRT1_2
  // the same either way; far outside it is a small difference of two small numbers
  const between = near >= 0 ? erf(far * root) + erf(near * root) : erfc(-near * root) - erfc(far * root)
  const density = Math.exp(-(near * near) / 2) / Math.sqrt(2 * Math.PI)
  const step = 2 * radius * distance
  // so near the middle that the numbers themselves have no digits left to divide by
  const share = step < 1e-10 ? 2 * radius * (1 - step / 2) : -Math.expm1(-step) / distance
  return Math.min(1, Math.max(0, between / 2 - density * share))
}

/**
 * How likely two colours are the same, that is: truly within `sameLimit` of each other.
 *
 * CIEDE2000 is the length of a vector of three weighed differences (lightness, chroma, hue), as good as Euclidean where
 * colours are near enough for the question to matter. The bound says how long the error of that vector is in nine of
 * ten cases; errors alike in its three directions are then normal with bound / 2.5003 each. All differences being as
 * likely before anybody looked, what is true lies as far about what was read as what is read about what is true; the
 * chance is the part of that cloud within the limit.
 *
 * It answers "how likely", and "could be the same" does not end by it: the less two readings can be trusted, the
 * smaller the chance becomes however near they lie (alike to the last digit, ± 5, within 1: 3 in 100), and nothing
 * would be left that could be. What could be the same is what the readings do not rule out: dE00 − bound ≤ limit. Both
 * agree where it counts: a sphere lies on one side of a plane that touches it, so beyond that line the chance is below
 * Φ(−2.5003), 6 in 1,000, whatever bound and limit; "surely different" is 99.4 % sure or surer.
 * @param de00, bound90, sameLimit  0 or more, in dE00
 * @returns  0 to 1; without any doubt 1 within the limit and 0 beyond it
 */
export function chanceSame(de00: number, bound90: number, sameLimit: number): number {
  const sigma = bound90 / sigmasIn90
  if (!(sigma > noDoubt)) return de00 <= sameLimit ? 1 : 0
  return chanceWithin(sameLimit / sigma, de00 / sigma)
}

/** Less than rounding makes of any colour. */
const noDoubt = 1e-12

/** dE00 − bound is within the limit: the readings do not rule out that the colours are the same. See `chanceSame`. */
export const couldBeSame = (de00: number, bound90: number, sameLimit: number): boolean => de00 - bound90 <= sameLimit
