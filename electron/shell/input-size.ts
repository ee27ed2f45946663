/** A number, a name or a sign of structure counts so many bytes: about what it takes as JSON. */
const perValue = 8

/**
 * Whether what a page sends takes more than about `bytes`, without writing it down. Bytes themselves never come in calls:
 * they count as they are. What refers to itself is never finished, and so is larger.
 */
export function isLargerThan(input: unknown, bytes: number): boolean {
  let left = bytes
  const stack: unknown[] = [input]
  while (stack.length > 0) {
    const one = stack.pop()
    left -= typeof one === 'string' ? one.length : perValue
    if (ArrayBuffer.isView(one) || one instanceof ArrayBuffer) left -= one.byteLength
    else if (one instanceof Map || one instanceof Set) stack.push(...[...one].flat())
    else if (typeof one === 'object' && one !== null)
      for (const [name, value] of Object.entries(one)) {
        left -= name.length
        stack.push(value)
        if (left < 0) return true
      }
    if (left < 0) return true
  }
  return false
}
