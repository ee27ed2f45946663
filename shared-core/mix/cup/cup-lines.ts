import type { CupLine } from '../../records/cup.ts'
import { fromNumber, type Rational, toNumber } from '../rational.ts'
import type { PouringLine } from './over-pour.ts'
import type { PourLine } from './pour-plan.ts'

/** A cup's lines as they are kept, for `restOfCup`: one that was left as it was poured is right as it is. */
export const pouringLines = (lines: readonly CupLine[]): PouringLine[] =>
  lines.map(({ materialId, name, kind, powder, wanted, poured, accepted }) => ({
    material: { id: materialId, name, kind },
    powder,
    amount: fromNumber(accepted && poured !== null ? poured : wanted),
    poured: poured === null ? null : fromNumber(poured),
  }))

/** A plan's lines for `restOfCup`, with every digit; readings by index, null or absent: not poured yet. */
export const planLines = (lines: readonly PourLine[], poured: readonly (number | Rational | null)[]): PouringLine[] =>
  lines.map(({ material, powder, exact }, index) => {
    const reading = poured[index] ?? null
    return { material, powder, amount: exact, poured: typeof reading === 'number' ? fromNumber(reading) : reading }
  })

/** A plan's line as a new cup keeps it. Null for a material that the shelf does not have. */
export const cupLineOf = ({ material, powder, exact }: PourLine, id: string): CupLine | null =>
  material.id === null
    ? null
    : {
        id,
        materialId: material.id,
        name: material.name,
        kind: material.kind,
        powder,
        wanted: toNumber(exact),
        poured: null,
        accepted: false,
        batch: '',
      }
