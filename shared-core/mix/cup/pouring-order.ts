import type { CupLine } from '../../records/cup.ts'
import type { MaterialKind } from '../../records/mixture.ts'

/** Flake would stay in the strainer: whatever the formula's order, it is poured once the rest has been strained. */
export const flakeLast = <T>(each: readonly T[], kindOf: (one: T) => MaterialKind): T[] => [
  ...each.filter((one) => kindOf(one) !== 'flake'),
  ...each.filter((one) => kindOf(one) === 'flake'),
]

/** A cup's lines as they are poured. */
export const inPouringOrder = (lines: readonly CupLine[]): CupLine[] => flakeLast(lines, ({ kind }) => kind)
