import type { Basis, MaterialRef } from '../records/mixture.ts'
import { type AmountKind, type Atom, FormulaFault } from './formula-atoms.ts'
import { Cup, type Pending } from './formula-cup.ts'
import { kindFromName, nameKey, type Shelf } from './material-names.ts'

type NameAtom = Atom & { kind: 'name' }
type AmountAtom = Atom & { kind: 'amount' }

const blendWords = new Set(['blend', 'mix', 'mixture'])
const pourUnits: readonly AmountKind[] = ['mL', 'cL', 'L', 'g', 'fl oz', 'oz']
const isPour = (unit: AmountKind): boolean => pourUnits.includes(unit)
const basisOf = (unit: AmountKind): Basis | null =>
  unit === 'g' ? 'mass' : unit === 'mL' || unit === 'cL' || unit === 'L' || unit === 'fl oz' ? 'volume' : null

/** Reads the atoms of one formula. Each `take…` method moves on past what it understood. */
export class FormulaReader {
  private readonly atoms: readonly Atom[]
  private readonly length: number
  private readonly shelf: Shelf
  private readonly defined = new Map<string, { mixture: Pending; used: boolean; at: number }>()
  private position = 0
  readonly warnings: string[] = []
  private readonly cup = new Cup(this.warnings)
  coats: number | null = null

  /** @param length of the text */
  constructor(atoms: readonly Atom[], length: number, shelf: Shelf) {
    this.atoms = atoms
    this.length = length
    this.shelf = shelf
  }

  read(): Pending {
    while (this.position < this.atoms.length) {
      const name = this.peek()
      if (name?.kind === 'name' && this.peek(1)?.kind === 'is') this.takeDefinition(name)
      else this.takeClause(this.cup)
    }
    const unused = [...this.defined].find(([, each]) => !each.used)
    if (this.cup.isEmpty && this.defined.size > 0) {
      const last = [...this.defined.values()].at(-1)
      if (last && !last.used && [...this.defined.values()].filter((each) => !each.used).length === 1) {
        return { ...last.mixture, name: '' }
      }
    }
    if (unused) {
      throw new FormulaFault(
        `“${unused[1].mixture.name}” is mixed but goes nowhere.`,
        `Say what it goes into, for example “1 ${unused[1].mixture.name} in 6 carrier”.`,
        unused[1].at,
      )
    }
    return this.cup.finish('', this.length)
  }

  private peek(ahead = 0): Atom | undefined {
    return this.atoms[this.position + ahead]
  }

  /** "blend = 4 copper : 1 crimson", to the end of its line. */
  private takeDefinition(name: NameAtom): void {
    this.position += 2
    const cup = new Cup(this.warnings)
    while (this.position < this.atoms.length && this.peek()?.kind !== 'line') this.takeClause(cup)
    const end = this.peek()?.at ?? this.length
    this.defined.set(nameKey(name.text), { mixture: cup.finish(name.text.trim(), end), used: false, at: name.at })
  }

  private takeClause(cup: Cup): void {
    const atom = this.peek()
    if (!atom) return
    switch (atom.kind) {
      case 'join':
      case 'line':
        this.position += 1
        return
      case 'coats':
        this.coats = (this.coats ?? 0) + atom.count
        this.position += 1
        return
      case 'mist':
        this.warnings.push('A mist coat is not counted as a coat.')
        this.position += 1
        return
      case 'basis':
        cup.sayBasis(atom.basis, atom.at)
        this.position += 1
        return
      case 'over':
        this.warnings.push(`“${atom.words}” was left out: the ground is a layer of its own.`)
        this.position += 1
        return
      case 'on-top':
      case 'of-total':
        cup.sayPercent(atom.kind === 'on-top' ? 'percent-on-top' : 'percent-of-total', atom.at)
        this.position += 1
        return
      case 'straight':
        cup.sayStraight()
        this.position += 1
        return
      case 'equal':
        cup.equalParts = true
        this.position += 1
        return
      case 'in':
        this.position += 1
        this.takeCarrier(cup, atom)
        return
      case 'ratio':
        this.takeRatio(cup, atom)
        return
      case 'amount':
        this.takeAmount(cup, atom)
        return
      case 'name':
        this.takeName(cup, atom)
        return
      case 'is':
        throw new FormulaFault(
          'A name is missing before “=”.',
          'Write it like “blend = 4 copper : 1 crimson”.',
          atom.at,
        )
    }
  }

  /** Names from `ahead` on, joined by commas, plus signs and the like; a name with an amount of its own ends the list. */
  private namesFrom(ahead: number, most: number): { names: NameAtom[]; next: number } {
    const names: NameAtom[] = []
    let next = ahead
    while (names.length < most) {
      let step = next
      while (names.length > 0 && this.peek(step)?.kind === 'join') step += 1
      const atom = this.peek(step)
      if (atom?.kind !== 'name') break
      const after = this.peek(step + 1)
      if (names.length > 0 && after?.kind === 'amount' && this.peek(step + 2)?.kind !== 'name') break
      names.push(atom)
      next = step + 1
    }
    return { names, next }
  }

  private takeRatio(cup: Cup, ratio: Atom & { kind: 'ratio' }): void {
    const { values } = ratio
    const inName = this.peek(1)?.kind === 'in' ? this.peek(2) : undefined
    if (inName?.kind === 'name' && values.length === 2 && cup.hasContent) {
      this.position += 3
      cup.carry(this.materialOf(inName, 'carrier'), values, ratio.at)
      return
    }
    const { names, next } = this.namesFrom(1, values.length)
    if (names.length === values.length && !cup.hasParts) {
      this.position += next
      for (const [index, name] of names.entries()) this.put(cup, values[index] ?? 1, 'bare', name)
      return
    }
    if (values.length === 2 && names.length < 2 && cup.hasContent) {
      this.position += names.length === 1 ? next : 1
      cup.carry(this.materialOf(names[0] ?? null, 'carrier'), values, ratio.at)
      return
    }
    if (names.length === values.length) {
      throw new FormulaFault(
        'Two ratios stand side by side.',
        'Write “in” before the carrier: “4:1 copper + crimson, in 6:1 carrier”.',
        ratio.at,
      )
    }
    throw new FormulaFault(
      `The ratio has ${values.length} figures, and the number of names that follow it is ${names.length}.`,
      'Name each, with “+” between them: “4:1 copper + crimson”.',
      ratio.at,
    )
  }

  private takeAmount(cup: Cup, amount: AmountAtom): void {
    const mode = this.peek(1)
    const said = amount.unit === 'percent' && (mode?.kind === 'on-top' || mode?.kind === 'of-total') ? mode.kind : null
    const skip = said ? 2 : 1
    const name = this.peek(skip)
    if (name?.kind !== 'name') {
      throw new FormulaFault(
        'An amount stands without a name.',
        'Name what it is of: “4 copper : 1 crimson”.',
        amount.at,
      )
    }
    // "6 parts carrier to 1 part blend", said of what stands before it.
    const [to, toAmount, toName] = [this.peek(skip + 1), this.peek(skip + 2), this.peek(skip + 3)]
    const carries =
      to?.kind === 'join' && toAmount?.kind === 'amount' && toName?.kind === 'name' && this.isBlendWord(toName)
    if (carries && cup.hasContent && !isPour(amount.unit)) {
      this.position += skip + 4
      cup.carry(this.materialOf(name, 'carrier'), [amount.value, toAmount.value], amount.at, true)
      return
    }
    const plus = this.atoms[this.position - 1]
    this.position += skip + 1
    this.put(cup, amount.value, amount.unit, name)
    if (said) cup.sayPercent(said === 'on-top' ? 'percent-on-top' : 'percent-of-total', amount.at)
    else if (amount.unit === 'percent' && plus?.kind === 'join' && plus.sign === '+') cup.hintOnTop()
  }

  private takeName(cup: Cup, name: NameAtom): void {
    let ahead = 1
    const colon = this.peek(1)
    if (colon?.kind === 'join' && colon.sign === ':') ahead = 2
    const amount = this.peek(ahead)
    const after = this.peek(ahead + 1)
    // "copper 4 crimson 1" pairs each name with what follows; "teal 10 % reducer" leaves the amount to the next name.
    const ofNext = amount?.kind === 'amount' && (amount.unit === 'percent' || amount.unit === 'grams-per-litre')
    if (amount?.kind === 'amount' && (!ofNext || after?.kind !== 'name' || this.pairsNameFirst(ahead + 1))) {
      this.position += ahead + 1
      this.put(cup, amount.value, amount.unit, name)
      return
    }
    const { names, next } = this.namesFrom(0, 40)
    const ratio = this.peek(next)
    if (ratio?.kind === 'ratio' && names.length > 1 && ratio.values.length === names.length && !cup.hasParts) {
      this.position += next + 1
      for (const [index, each] of names.entries()) this.put(cup, ratio.values[index] ?? 1, 'bare', each)
      return
    }
    const second = this.peek(2)
    if (colon?.kind === 'ratio' && second?.kind === 'name' && colon.values.length === 2 && !cup.hasParts) {
      if (this.materialOf(second).kind === 'carrier') {
        throw new FormulaFault(
          'It is not clear which of the two has the larger share.',
          `Write “${name.text} in ${colon.values.join(':')} ${second.text}”, or an amount before each name.`,
          name.at,
        )
      }
      this.position += 3
      this.put(cup, colon.values[0] ?? 1, 'bare', name)
      this.put(cup, colon.values[1] ?? 1, 'bare', second)
      return
    }
    this.position += 1
    this.put(cup, null, 'bare', name)
  }

  /** From `ahead` on, a name is followed by an amount, and that by anything but another name without an amount. */
  private pairsNameFirst(ahead: number): boolean {
    const [name, amount, after] = [this.peek(ahead), this.peek(ahead + 1), this.peek(ahead + 2)]
    if (name?.kind !== 'name' || amount?.kind !== 'amount') return false
    return after?.kind !== 'name' || this.pairsNameFirst(ahead + 2)
  }

  private takeCarrier(cup: Cup, start: Atom): void {
    const first = this.peek()
    const second = this.peek(1)
    if (first?.kind === 'ratio' && first.values.length === 2) {
      const name = second?.kind === 'name' ? second : null
      this.position += name ? 2 : 1
      cup.carry(this.materialOf(name, 'carrier'), first.values, first.at)
      return
    }
    if (first?.kind === 'name') {
      const figure = second?.kind === 'join' ? this.peek(2) : second
      const steps = second?.kind === 'join' ? 3 : 2
      const alone = this.peek(steps)
      if (figure?.kind === 'ratio' && figure.values.length === 2 && alone?.kind !== 'name') {
        this.position += steps
        cup.carry(this.materialOf(first, 'carrier'), figure.values, figure.at)
        return
      }
      if (second?.kind === 'amount' && this.peek(2)?.kind !== 'name') {
        this.position += 2
        this.carryAmount(cup, second, first)
        return
      }
      this.position += 1
      cup.carryPowder(this.materialOf(first, 'carrier'), first.at)
      return
    }
    if (first?.kind === 'amount' && second?.kind === 'name') {
      this.position += 2
      this.carryAmount(cup, first, second)
      return
    }
    throw new FormulaFault(
      'After “in” the carrier and its share are missing.',
      'Write it like “in 6:1 carrier”.',
      start.at,
    )
  }

  /** "in 6 carrier", "in 180 mL carrier", "in 6 parts carrier to 1 part blend". */
  private carryAmount(cup: Cup, amount: AmountAtom, name: NameAtom): void {
    const material = this.materialOf(name, 'carrier')
    const [to, blend] = [this.peek(), this.peek(1)]
    if (
      to?.kind === 'join' &&
      (to.sign === 'to' || to.sign === ':') &&
      blend?.kind === 'amount' &&
      !isPour(amount.unit)
    ) {
      const word = this.peek(2)
      const named = word?.kind === 'name' && (this.isBlendWord(word) || cup.isSingle(word.text))
      if (named || word?.kind !== 'name') {
        this.position += named ? 3 : 2
        cup.carry(material, [amount.value, blend.value], amount.at, true)
        return
      }
    }
    cup.carryAmount({ amount: amount.value, unit: amount.unit, material, at: amount.at }, basisOf(amount.unit))
  }

  private put(cup: Cup, value: number | null, unit: AmountKind, name: NameAtom): void {
    if (value !== null && !(value > 0)) {
      throw new FormulaFault(`The amount of ${name.text} is 0.`, 'Leave it out, or give its amount.', name.at)
    }
    const said = basisOf(unit)
    if (said) cup.sayBasis(said, name.at)
    const defined = this.defined.get(nameKey(name.text))
    if (defined) {
      defined.used = true
      cup.add({ amount: value, unit, content: defined.mixture, at: name.at })
      return
    }
    if (this.isBlendWord(name)) {
      cup.wrap(nameKey(name.text), value, unit, name.at)
      return
    }
    const kind = unit === 'grams-per-litre' && kindFromName(name.text) === 'concentrate' ? 'pearl' : null
    cup.add({ amount: value, unit, content: this.materialOf(name, kind), at: name.at })
  }

  private isBlendWord(name: NameAtom): boolean {
    return blendWords.has(nameKey(name.text)) && !this.defined.has(nameKey(name.text)) && !this.shelf.has(name.text)
  }

  /** No name at all means the carrier. */
  private materialOf(name: NameAtom | null, wanted: MaterialRef['kind'] | null = null): MaterialRef {
    return this.shelf.find(name?.text ?? 'carrier', wanted, this.warnings)
  }
}
