import type { AmountUnit, MaterialKind, Mixture, Part } from '../../../../shared-core/records/mixture.ts'
import type { PearlName } from '../palette.ts'
import { pearls } from '../palette.ts'
import type { PanelIdea } from './panels.ts'

const of = (amount: number, name: string, kind: MaterialKind, unit: AmountUnit = 'parts'): Part => ({
  amount,
  unit,
  material: { id: null, name, kind },
  mixture: null,
})
const nested = (amount: number, mixture: Mixture): Part => ({ amount, unit: 'parts', material: null, mixture })
const byVolume = (name: string, ...parts: Part[]): Mixture => ({ name, basis: 'volume', parts })

/** The cup as the painter mixes it: concentrates → blend → carrier (→ hardener) → reducer on top. */
export function candyMixture(idea: PanelIdea): Mixture {
  const concentrates = idea.blend.map(([name, parts]) => of(parts, name, 'concentrate'))
  const [only] = concentrates
  const blend =
    concentrates.length === 1 && only ? { ...only, amount: 1 } : nested(1, byVolume('blend', ...concentrates))
  const carrier = idea.catalysed
    ? nested(
        idea.carrier,
        byVolume('catalysed carrier', of(4, 'Tern carrier', 'carrier'), of(1, 'Tern hardener', 'hardener')),
      )
    : of(idea.carrier, 'Tern carrier', 'carrier')
  const reducer = idea.reducer ? [of(idea.reducer, 'Medium reducer', 'reducer', 'percent-on-top')] : []
  return byVolume('', blend, carrier, ...reducer)
}

export const sealerMixture = (): Mixture =>
  byVolume('', of(4, 'Grey sealer', 'sealer'), of(1, 'Sealer hardener', 'hardener'), of(1, 'Medium reducer', 'reducer'))

export const baseMixture = (base: string): Mixture =>
  byVolume('', of(1, base, 'base'), of(1, 'Medium reducer', 'reducer'))

/** Pearl is thinned with carrier, dry flake goes into carrier by the gram. */
export function midCoatMixture(pearl: PearlName): Mixture {
  const { name } = pearls[pearl]
  if (pearl === 'stardrift')
    return byVolume('', of(1, 'Tern carrier', 'carrier'), of(30, name, 'flake', 'grams-per-litre'))
  return byVolume('', of(4, name, 'pearl'), of(1, 'Tern carrier', 'carrier'))
}

export const clearMixture = (): Mixture =>
  byVolume('', of(2, 'Glass clear', 'clear'), of(1, 'Glass hardener', 'hardener'))

export const barrierMixture = (): Mixture =>
  byVolume('', of(1, 'Barrier clear', 'clear'), of(1, 'Medium reducer', 'reducer'))
