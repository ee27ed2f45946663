/** Random numbers that are the same for the same seed, on every machine. */
export type Random = {
  /** 0 or more, below 1. */
  next: () => number
  between: (low: number, high: number) => number
  /** Whole number, both ends possible. */
  whole: (low: number, high: number) => number
  normal: () => number
  chance: (share: number) => boolean
  pick: <T>(list: readonly T[]) => T
  /** A generator of its own, so that one more number drawn here changes nothing there. */
  fork: (name: string) => Random
}

/**
 * Generator sfc32, seeded from the characters of `seed`.
 * Source: sfc32 is C. Doty-Humphrey's Small Fast Counting generator (PractRand); the seed is spread by FNV-1a.
 */
export function randomFrom(seed: string): Random {
  const word = (salt: number): number => {
    let hash = (2166136261 ^ salt) >>> 0
    for (const character of seed) hash = Math.imul(hash ^ (character.codePointAt(0) ?? 0), 16777619) >>> 0
    return hash
  }
  let [a, b, c, counter] = [word(1), word(2), word(3), 1]
  const next = (): number => {
    const sum = (a + b + counter) | 0
    counter = (counter + 1) | 0
    a = b ^ (b >>> 9)
    b = (c + (c << 3)) | 0
    c = ((c << 21) | (c >>> 11)) + sum
    return (sum >>> 0) / 4294967296
  }
  for (let i = 0; i < 16; i++) next()
  const between = (low: number, high: number): number => low + (high - low) * next()
  return {
    next,
    between,
    whole: (low, high) => Math.floor(between(low, high + 1)),
    // Box and Muller: one of the pair is enough here.
    normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    chance: (share) => next() < share,
    pick: (list) => {
      const chosen = list[Math.floor(next() * list.length)]
      if (chosen === undefined) throw new RangeError('There is nothing to pick from.')
      return chosen
    },
    fork: (name) => randomFrom(`${seed}/${name}`),
  }
}
