import type { AmountUnit, Basis, MaterialRef } from '../records/mixture.ts'
import { type AmountKind, FormulaFault } from './formula-atoms.ts'

/** A mixture whose basis may still be unsaid. */
export type Pending = {
  name: string
  basis: Basis | null
  parts: { amount: number; unit: AmountUnit; content: MaterialRef | Pending }[]
}

type Entry = {
  /** Null while the painter gave only the name. */
  amount: number | null
  unit: AmountKind
  content: MaterialRef | Pending
  at: number
}
type Extra = Entry & { amount: number; counted: AmountUnit | null; hinted: boolean }

const isExtra = (unit: AmountKind): boolean => unit === 'percent' || unit === 'grams-per-litre'
const isPart = (unit: AmountKind): boolean => unit === 'bare' || unit === 'parts'

/** What was read of one mixture so far: what is measured in parts, and what is counted from the finished mixture. */
export class Cup {
  private parts: Entry[] = []
  private extras: Extra[] = []
  private basis: Basis | null = null
  private carried = false
  private straight = false
  equalParts = false
  private readonly warnings: string[]

  /** @param warnings where whole sentences about what was read one of several ways are put */
  constructor(warnings: string[]) {
    this.warnings = warnings
  }

  get hasParts(): boolean {
    return this.parts.length > 0
  }

  get hasContent(): boolean {
    return this.parts.length > 0 || this.extras.length > 0
  }

  get isEmpty(): boolean {
    return !this.hasContent
  }

  isSingle(name: string): boolean {
    const only = this.parts[0]
    return this.parts.length === 1 && only?.content.name.toLowerCase() === name.trim().toLowerCase()
  }

  add(entry: Entry): void {
    if (isExtra(entry.unit)) {
      const counted = entry.unit === 'grams-per-litre' ? 'grams-per-litre' : null
      this.extras.push({ ...entry, amount: entry.amount ?? 0, counted, hinted: false })
      return
    }
    const other = this.parts.find((each) => each.amount !== null && entry.amount !== null && each.unit !== entry.unit)
    if (other && !(isPart(other.unit) && isPart(entry.unit))) {
      throw new FormulaFault(
        'Two kinds of amounts meet in one ratio.',
        'Give everything in parts, or everything in the same unit.',
        entry.at,
      )
    }
    this.parts.push(entry)
  }

  sayBasis(basis: Basis, at: number): void {
    if (this.basis !== null && this.basis !== basis) {
      throw new FormulaFault(
        'Volume and mass are both said of one mixture.',
        'Say one of them; a blend and its carrier may differ: “4:1 copper + crimson by mass, in 6:1 carrier by volume”.',
        at,
      )
    }
    this.basis = basis
  }

  sayPercent(counted: AmountUnit, at: number): void {
    const last = this.extras.findLast((each) => each.unit === 'percent')
    if (!last || (last.counted !== null && last.counted !== counted)) {
      throw new FormulaFault(
        `“${counted === 'percent-on-top' ? 'on top' : 'of the total'}” stands without a percentage.`,
        'Write it like “reducer 5 % on top” or “10 % reducer of the total”.',
        at,
      )
    }
    last.counted = counted
  }

  /** "+ 5 % reducer": a plus sign says that it is added. */
  hintOnTop(): void {
    const last = this.extras.at(-1)
    if (last) last.hinted = true
  }

  sayStraight(): void {
    this.straight = true
  }

  /** Percentages that nothing else was said of and that make up a whole: "80 % teal, 20 % violet". */
  private takeWhole(): void {
    const open = this.extras.filter((each) => each.unit === 'percent' && each.counted === null && !each.hinted)
    const percent = open.reduce((total, each) => total + each.amount, 0)
    if (this.parts.length > 0 || open.length < 2 || Math.abs(percent - 100) > 1e-9) return
    for (const each of open) each.counted = 'percent-of-total'
  }

  /** The parts so far as one entry: a material by itself stays one, several become a mixture. */
  private close(name: string, at: number): { content: MaterialRef | Pending; amount: number | null } {
    this.takeWhole()
    const shares = this.parts.length === 0 ? this.extras.filter((each) => each.counted === 'percent-of-total') : []
    if (this.parts.length === 0 && shares.length === 0) {
      throw new FormulaFault('What goes into the carrier is missing.', 'Name it first: “teal in 6:1 carrier”.', at)
    }
    const only = this.parts[0]
    this.checkBare()
    if (this.parts.length === 1 && only) {
      this.parts = []
      return { content: only.content, amount: only.amount }
    }
    const content: Pending = {
      name,
      basis: this.basis,
      parts: [
        ...this.parts.map((each) => ({ amount: each.amount ?? 1, unit: 'parts' as const, content: each.content })),
        ...shares.map((each) => ({ amount: each.amount, unit: 'percent-of-total' as const, content: each.content })),
      ],
    }
    this.extras = this.extras.filter((each) => !shares.includes(each))
    this.parts = []
    this.basis = null
    return { content, amount: null }
  }

  private checkBare(): void {
    const bare = this.parts.find((each) => each.amount === null)
    if (this.parts.length < 2 || !bare || this.equalParts) return
    throw new FormulaFault(
      `How much ${bare.content.name} goes in is missing.`,
      'Give an amount for each: “4:1 copper + crimson”, or “equal parts”.',
      bare.at,
    )
  }

  /** "1 blend …" after "4 copper : 1 crimson": what stands before becomes the blend. */
  wrap(name: string, amount: number | null, unit: AmountKind, at: number): void {
    if (this.isEmpty) {
      throw new FormulaFault(
        `What the ${name} is made of is missing.`,
        'Write it first: “4 copper : 1 crimson, 1 blend in 6 carrier”.',
        at,
      )
    }
    const { content } = this.close(name, at)
    this.add({ amount, unit, content, at })
  }

  private startCarrying(at: number): void {
    if (this.carried) {
      throw new FormulaFault(
        'A second “in” is one too many for a single line.',
        'Use a line for each mixture: “paint = 4 copper : 1 crimson”, then “1 paint in 6 carrier”.',
        at,
      )
    }
    this.carried = true
  }

  /** "in 6:1 carrier": the first figure is the carrier's. @param explicit each figure was typed before its own name */
  carry(carrier: MaterialRef, ratio: readonly number[], at: number, explicit = false): void {
    this.startCarrying(at)
    const [share = 1, blend = 1] = ratio
    if (!(share > 0) || !(blend > 0)) throw new FormulaFault('A figure of the ratio is 0.', 'Give both figures.', at)
    if (share < blend && !explicit) {
      this.warnings.push(
        `Read as ${share} ${carrier.name} to ${blend} of the rest: in “in 6:1 carrier” the carrier comes first.`,
      )
    }
    const { content } = this.close('blend', at)
    this.equalParts = false
    this.parts = [
      { amount: blend, unit: 'bare', content, at },
      { amount: share, unit: 'bare', content: carrier, at },
    ]
  }

  /** "4 paint in 1 carrier", "24 mL copper, 6 mL crimson in 180 mL carrier", and "4:1 copper + crimson in 6 carrier". */
  carryAmount(
    carrier: { amount: number; unit: AmountKind; material: MaterialRef; at: number },
    basis: Basis | null,
  ): void {
    const { amount, unit, material, at } = carrier
    if (!isPart(unit)) {
      if (isExtra(unit)) {
        throw new FormulaFault('The carrier cannot be counted that way.', 'Give it in parts: “in 6:1 carrier”.', at)
      }
      this.startCarrying(at)
      if (basis) this.sayBasis(basis, at)
      this.add({ amount, unit, content: material, at })
      return
    }
    const only = this.parts[0]
    if (this.parts.length === 1 && only && !isPart(only.unit)) {
      throw new FormulaFault('Two kinds of amounts meet in one ratio.', 'Give both in parts or in the same unit.', at)
    }
    const [several, own] = [this.parts.length > 1, this.parts.length === 1 ? (only?.amount ?? 1) : 1]
    this.carry(material, [amount, own], at, true)
    if (several) {
      this.warnings.push(
        `Read as ${amount} ${material.name} to 1 of the blend; if all amounts are in the same parts, put “:” instead of “in”.`,
      )
    }
  }

  /** "25 g/L pearl in carrier": the carrier is everything else. */
  carryPowder(carrier: MaterialRef, at: number): void {
    const powders = this.extras.some((each) => each.counted === 'grams-per-litre')
    if (this.parts.length > 0 || !powders) {
      throw new FormulaFault(`How much ${carrier.name} is missing.`, 'Write it like “in 6:1 carrier”.', at)
    }
    this.startCarrying(at)
    this.parts = [{ amount: 1, unit: 'bare', content: carrier, at }]
  }

  /** @param end place in the text where the mixture ends */
  finish(name: string, end: number): Pending {
    if (this.isEmpty) {
      throw new FormulaFault(
        'No material is named.',
        'Write the formula like “4:1 copper + crimson, in 6:1 carrier, 4 coats”.',
        end,
      )
    }
    this.checkBare()
    this.takeWhole()
    if (this.straight && this.parts.length > 1 && !this.carried) {
      this.warnings.push('“Straight” was left out: more than one material is named.')
    }
    for (const extra of this.extras) {
      if (extra.counted !== null) continue
      extra.counted = 'percent-on-top'
      if (extra.hinted) continue
      this.warnings.push(
        `${extra.amount} % ${extra.content.name} was taken as on top of the mixture; write “of the total” if it is part of it.`,
      )
    }
    const share = this.extras.reduce(
      (total, each) => total + (each.counted === 'percent-of-total' ? each.amount : 0),
      0,
    )
    const [first] = this.extras
    if (this.parts.length === 0 && Math.abs(share - 100) > 1e-9 && first) {
      throw new FormulaFault(
        share > 0
          ? `The percentages of the total add up to ${share} %, and nothing takes the rest.`
          : `What the ${first.content.name} is added to is missing.`,
        'Name what makes up the rest.',
        first.at,
      )
    }
    if (this.parts.length > 0 && share >= 100 && first) {
      throw new FormulaFault(
        `The percentages of the total add up to ${share} %.`,
        'They must leave something for the parts.',
        first.at,
      )
    }
    const zero = this.extras.find((each) => !(each.amount > 0))
    if (zero) throw new FormulaFault(`The amount of ${zero.content.name} is missing.`, 'Give its amount.', zero.at)
    if (this.parts.length + this.extras.length > 40) {
      throw new FormulaFault(
        'More than 40 materials stand in one mixture.',
        'Mix some of them first, on a line of their own.',
        end,
      )
    }
    return {
      name,
      basis: this.basis,
      parts: [
        ...this.parts.map((each) => ({ amount: each.amount ?? 1, unit: 'parts' as const, content: each.content })),
        ...this.extras.map((each) => ({
          amount: each.amount,
          unit: each.counted ?? ('percent-on-top' as const),
          content: each.content,
        })),
      ],
    }
  }
}
