import { MaterialKind } from '../../../shared-core/records/mixture.ts'

/** Names of the rails; the order is the order of the work, from ground to clear, with what goes into everything last. */
const several: Readonly<Record<MaterialKind, string>> = {
  concentrate: 'Concentrates',
  carrier: 'Carriers',
  hardener: 'Hardeners',
  reducer: 'Reducers',
  base: 'Bases',
  pearl: 'Pearls',
  flake: 'Flakes',
  clear: 'Clears',
  sealer: 'Sealers',
  other: 'Others',
}
const one: Readonly<Record<MaterialKind, string>> = {
  concentrate: 'Concentrate',
  carrier: 'Carrier',
  hardener: 'Hardener',
  reducer: 'Reducer',
  base: 'Base',
  pearl: 'Dry pearl',
  flake: 'Flake',
  clear: 'Clear',
  sealer: 'Sealer',
  other: 'Other',
}

export const kindsInOrder = Object.keys(several) as readonly MaterialKind[]
export const kindsInWords = (kind: MaterialKind): string => several[kind]
export const kindInWords = (kind: MaterialKind): string => one[kind]

/** A kind that was chosen from a list. */
export const asKind = (text: string): MaterialKind => MaterialKind.parse(text)
