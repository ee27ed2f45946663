/**
 * A binary BCH code of length 127 over GF(2^7) that puts right any 5 wrong bits, shortened to 100: 65 bits of content, 35 of check.
 * Source: S. Lin, D. J. Costello, Error Control Coding, 2nd ed. (2004), chapter 6: construction (6.1), Berlekamp's iteration (6.2)
 * and the search for the roots (6.2); primitive polynomial 1 + x^3 + x^7 (their table 2.7).
 */
export const contentBits = 65
export const codeBits = 100
/** Wrong bits that are put right. */
export const mostWrong = 5

const order = 127
const checkBits = codeBits - contentBits

/** Powers of the primitive element, twice over, and their logarithms. */
const powers = new Uint8Array(2 * order)
const logs = new Uint8Array(order + 1)
for (let i = 0, value = 1; i < order; i++) {
  powers[i] = value
  powers[i + order] = value
  logs[value] = i
  value <<= 1
  if (value > order) value ^= 0b10001001
}
const times = (a: number, b: number): number => (a === 0 || b === 0 ? 0 : powers[logs[a]! + logs[b]!]!)
const over = (a: number, b: number): number => (a === 0 ? 0 : powers[logs[a]! + order - logs[b]!]!)

/** The generator, lowest power first: each power 2^j·i of the primitive element with i = 1, 3, 5, 7, 9 is a root. */
export const generator: readonly number[] = (() => {
  const roots = new Set<number>()
  for (let i = 1; i < 2 * mostWrong; i += 2)
    for (let j = 0, at = i; j < 7; j++, at = (2 * at) % order) roots.add(powers[at]!)
  let product = [1]
  for (const root of roots) {
    const next = [0, ...product]
    product.forEach((value, k) => {
      next[k]! ^= times(value, root)
    })
    product = next
  }
  return product
})()

/** @param content 65 bits @returns 100 bits: the content, then its check */
export function withCheck(content: readonly number[]): number[] {
  const rest = [...content, ...Array.from({ length: checkBits }, () => 0)]
  for (let at = 0; at < contentBits; at++) {
    if (rest[at] === 0) continue
    for (let k = 0; k <= checkBits; k++) rest[at + k]! ^= generator[checkBits - k]!
  }
  return [...content, ...rest.slice(contentBits)]
}

/** @returns the content and how many bits were wrong; null when there are more than can be put right */
export function withoutErrors(received: readonly number[]): { content: number[]; wrong: number } | null {
  const syndromes = syndromesOf(received)
  if (syndromes.every((value) => value === 0)) return { content: received.slice(0, contentBits), wrong: 0 }
  const locator = locatorOf(syndromes)
  const wrong = locator.length - 1
  if (wrong > mostWrong) return null
  const right = [...received]
  let found = 0
  for (let at = 0; at < codeBits; at++) {
    // the bit at `at` stands for this power; it is wrong where its inverse is a root
    const inverse = (order - (codeBits - 1 - at)) % order
    let sum = 0
    for (const [k, value] of locator.entries()) sum ^= times(value, powers[(inverse * k) % order]!)
    if (sum !== 0) continue
    right[at]! ^= 1
    found++
  }
  return found === wrong ? { content: right.slice(0, contentBits), wrong } : null
}

function syndromesOf(received: readonly number[]): number[] {
  return Array.from({ length: 2 * mostWrong }, (_one, i) => {
    let sum = 0
    for (const bit of received) sum = times(sum, powers[i + 1]!) ^ bit
    return sum
  })
}

/** Berlekamp and Massey: the shortest polynomial, lowest power first, that makes the syndromes. */
function locatorOf(syndromes: readonly number[]): number[] {
  let [now, before] = [[1], [1]]
  let [length, since, last] = [0, 1, 1]
  for (const [n, syndrome] of syndromes.entries()) {
    let gap = syndrome
    for (let i = 1; i <= length; i++) gap ^= times(now[i] ?? 0, syndromes[n - i]!)
    if (gap === 0) {
      since++
      continue
    }
    const factor = over(gap, last)
    const next = Array.from({ length: Math.max(now.length, before.length + since) }, (_one, i) => {
      return (now[i] ?? 0) ^ times(factor, before[i - since] ?? 0)
    })
    if (2 * length <= n) {
      before = now
      length = n + 1 - length
      last = gap
      since = 1
    } else since++
    now = next
  }
  while (now.length > 1 && now.at(-1) === 0) now.pop()
  return now
}
