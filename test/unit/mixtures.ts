import * as fc from 'fast-check'
import type { AmountUnit, MaterialKind, MaterialRef, Mixture, Part } from '../../shared-core/records/mixture.ts'

/** Amounts as they are typed: up to three decimals. */
export const amounts = fc.integer({ min: 1, max: 99_999 }).map((thousandths) => thousandths / 1000)

const kindOfName: Record<string, MaterialKind> = {
  copper: 'concentrate',
  crimson: 'concentrate',
  'deep teal': 'concentrate',
  "robin's blue": 'concentrate',
  'sea-green': 'concentrate',
  carrier: 'carrier',
  'slow reducer': 'reducer',
  hardener: 'hardener',
  'gold flake': 'flake',
  'violet pearl': 'pearl',
}

export const materialNamed = (name: string): MaterialRef => ({
  id: null,
  name,
  kind: kindOfName[name] ?? 'concentrate',
})

/** Invented names that give their kind away. */
export const plainMaterials = fc.constantFrom(...Object.keys(kindOfName)).map(materialNamed)

const trickyNames = [
  'Silver 2',
  'black & white',
  '4 to 1 blue',
  'red in green',
  'half moon',
  'rot, hell',
  'x-100',
  'blend',
]
/** Names that a formula could misread: figures, signs and words of its own. */
export const trickyMaterials = fc
  .constantFrom(...trickyNames)
  .chain((name) =>
    fc.constantFrom<MaterialKind>('concentrate', 'carrier', 'base').map((kind) => ({ id: null, name, kind })),
  )

/** The outermost has no name; the one that stands first in it is what a painter calls the blend. */
const mixtureNames: Record<string, string> = { a: '', aa: 'blend' }
const build = (name: string, basis: Mixture['basis'], parts: Part[]): Mixture => ({ name, basis, parts })

/**
 * Mixtures nested up to three deep: parts first, then what is counted from the whole. Names of inner mixtures differ from
 * each other and from the materials.
 * @param oneBasis  the same basis all through, so that no density is needed
 * @param powders   grams per litre may stand in it
 */
export function mixtures(
  materials: fc.Arbitrary<MaterialRef>,
  { oneBasis, powders }: { oneBasis: boolean; powders: boolean },
): fc.Arbitrary<Mixture> {
  const units: AmountUnit[] = ['percent-of-total', 'percent-on-top', ...(powders ? (['grams-per-litre'] as const) : [])]
  const bases = fc.constantFrom<Mixture['basis']>('volume', 'mass')
  const level = (depth: number, prefix: string): fc.Arbitrary<Mixture> => {
    const leaf = materials.map((material): Pick<Part, 'material' | 'mixture'> => ({ material, mixture: null }))
    const content = (index: number): fc.Arbitrary<Pick<Part, 'material' | 'mixture'>> =>
      depth === 0
        ? leaf
        : fc.oneof(
            { weight: 2, arbitrary: leaf },
            {
              weight: 1,
              arbitrary: level(depth - 1, `${prefix}${'abcdefgh'[index] ?? 'z'}`).map((mixture) => ({
                material: null,
                mixture,
              })),
            },
          )
    const parts = fc
      .integer({ min: 1, max: 4 })
      .chain((count) =>
        fc.tuple(
          ...Array.from({ length: count }, (_, index) =>
            fc.tuple(amounts, content(index)).map(([amount, what]): Part => ({ amount, unit: 'parts', ...what })),
          ),
        ),
      )
    const extras = fc.array(
      fc
        .tuple(fc.integer({ min: 1, max: 240 }), fc.constantFrom(...units), leaf)
        .map(([tenths, unit, what]): Part => ({ amount: tenths / 10, unit, ...what })),
      { maxLength: 3 },
    )
    return fc
      .tuple(bases, parts, extras)
      .map(([basis, first, then]) => build(mixtureNames[prefix] ?? `mix ${prefix}`, basis, [...first, ...then]))
  }
  const same = (mixture: Mixture, basis: Mixture['basis']): Mixture => ({
    ...mixture,
    basis,
    parts: mixture.parts.map((part) => ({ ...part, mixture: part.mixture && same(part.mixture, basis) })),
  })
  const nested = level(2, 'a')
  return oneBasis ? nested.map((mixture) => same(mixture, mixture.basis)) : nested
}

/** Every material in a mixture, at any depth. */
export const materialsIn = (mixture: Mixture): MaterialRef[] =>
  mixture.parts.flatMap((part) => (part.material ? [part.material] : part.mixture ? materialsIn(part.mixture) : []))
