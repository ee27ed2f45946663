import type { SideHow } from '../../state/side-address.ts'

/** Which of what was laid out is seen first, second, … from the left or from the top. */
export function seenOrder(count: number, turned: SideHow['turned']): number[] {
  const order = Array.from({ length: count }, (_, i) => i)
  return turned >= 2 ? order.toReversed() : order
}
