const unwanted = /\0/g

/** Text without the two things that no store and no system call can hold: the zero sign, and half a pair of UTF-16. Both show as �. */
export const wellFormed = (text: string): string => text.replaceAll(unwanted, '\uFFFD').toWellFormed()

/**
 * The same for every text in a value from outside, keys included; whatever holds none is handed back as it is.
 * @param value  plain objects and lists; anything else is left alone. One that stands in several places is gone through once:
 *   a few dozen of them inside each other would be millions
 */
export function wellFormedThroughout(value: unknown): unknown {
  const done = new Map<object, unknown>()
  const through = (one: unknown): unknown => {
    if (typeof one === 'string') return one.isWellFormed() && !one.includes('\0') ? one : wellFormed(one)
    if (!Array.isArray(one) && !isPlain(one)) return one
    if (done.has(one)) return done.get(one)
    // one that holds itself comes back as it is
    done.set(one, one)
    const made = Array.isArray(one) ? listOf(one, through) : objectOf(one, through)
    done.set(one, made)
    return made
  }
  return through(value)
}

type Through = (value: unknown) => unknown

function listOf(list: readonly unknown[], through: Through): readonly unknown[] {
  const made = list.map(through)
  return made.some((one, i) => one !== list[i]) ? made : list
}

function objectOf(value: object, through: Through): object {
  const entries = Object.entries(value)
  const made = entries.map(([key, one]: [string, unknown]) => [wellFormed(key), through(one)] as const)
  return made.some(([key, one], i) => key !== entries[i]?.[0] || one !== entries[i]?.[1])
    ? Object.fromEntries(made)
    : value
}

function isPlain(value: unknown): value is object {
  if (typeof value !== 'object' || value === null) return false
  const made: unknown = Object.getPrototypeOf(value)
  return made === Object.prototype || made === null
}
