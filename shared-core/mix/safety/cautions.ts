import type { MaterialKind } from '../../records/mixture.ts'
import type { Caution } from '../../records/photo.ts'

/** Where in the work a caution stands. */
export type WorkStep = 'mix' | 'spray' | 'clean' | 'sand' | 'store'

/** A caution of the trade. `message` and `remedy` stand beside the step, `label` on a cup label. */
export type SafetyCaution = Caution & { label: string }

/**
 * What a caution goes by. `isocyanate`: whether the safety data sheet names isocyanates, as the shelf was told; null or
 * left out: nobody looked, and the kind decides.
 */
export type Ingredient = { kind: MaterialKind; isocyanate?: boolean | null | undefined }

/** `isocyanates`: in what is in it, as far as anybody knows; `named`: only data sheets of what is no hardener say so. */
type InIt = { kinds: ReadonlySet<MaterialKind>; isocyanates: boolean; named: boolean }
type Rule = { caution: SafetyCaution; steps: readonly WorkStep[]; when: (inIt: InIt) => boolean }

const dry: readonly MaterialKind[] = ['pearl', 'flake']
const isLiquid = ({ kinds }: InIt): boolean => [...kinds].some((kind) => !dry.includes(kind))
const hasHardener = ({ kinds }: InIt): boolean => kinds.has('hardener')
const hardens = (inIt: InIt): boolean => inIt.isocyanates || hasHardener(inIt)
/** Clears and primers are sold with and without a hardener: without one in the formula nobody knows. */
const mayBeCatalysed = (inIt: InIt): boolean => !hardens(inIt) && (inIt.kinds.has('clear') || inIt.kinds.has('sealer'))

/** It contains isocyanates as far as anybody knows: a hardener does until its data sheet says otherwise. */
export const namesIsocyanates = ({ kind, isocyanate }: Ingredient): boolean => isocyanate ?? kind === 'hardener'

const rule = (
  code: string,
  steps: readonly WorkStep[],
  when: Rule['when'],
  message: string,
  remedy: string,
  label: string,
): Rule => ({ caution: { code: `safety/${code}`, message, remedy, weight: 'warning', label }, steps, when })

/*
 * Common practice, no source; each defers to data sheets, local rules and licensed practice. The order is the order of
 * showing: what harms for life first.
 */
const rules: readonly Rule[] = [
  rule(
    'isocyanates',
    ['mix', 'spray', 'clean', 'sand'],
    ({ isocyanates, named }) => isocyanates && !named,
    'Hardeners contain isocyanates unless their data sheet says not: smell gives no reliable warning, and they can sensitise for life.',
    'Supplied air or the respirator that the safety data sheet asks for, skin and eyes covered. Nobody unprotected nearby.',
    'Hardener in it: isocyanates. See safety sheet.',
  ),
  rule(
    'isocyanates',
    ['mix', 'spray', 'clean', 'sand'],
    ({ named }) => named,
    'A safety data sheet of what is in it names isocyanates: smell gives no reliable warning, and they can sensitise for life.',
    'Supplied air or the respirator that the safety data sheet asks for, skin and eyes covered. Nobody unprotected nearby.',
    'Isocyanates in it. See safety sheet.',
  ),
  rule(
    'hardener-free',
    ['mix', 'spray', 'clean', 'sand'],
    (inIt) => hasHardener(inIt) && !inIt.isocyanates,
    'This hardener is kept as free of isocyanates, as its safety data sheet says. It may still irritate and sensitise.',
    'Follow its safety data sheet: the respirator, and the cover for skin and eyes that it asks for.',
    'Hardener in it: follow its safety data sheet.',
  ),
  rule(
    'isocyanates-if-catalysed',
    ['mix', 'spray', 'clean', 'sand'],
    mayBeCatalysed,
    'If this clear or primer takes a hardener, it contains isocyanates: smell gives no reliable warning.',
    'Read the safety data sheet first, and wear the respirator and the cover for skin and eyes that it asks for.',
    'If catalysed: isocyanates. See safety sheet.',
  ),
  rule(
    'booth-purge',
    ['spray'],
    (inIt) => hardens(inIt) || mayBeCatalysed(inIt),
    'Spray mist hangs in the booth after the gun has stopped.',
    'Keep protection on until the booth has purged, as its instructions and local rules say.',
    'Mask stays on until the booth has purged.',
  ),
  rule(
    'vapour',
    ['mix', 'spray', 'clean'],
    isLiquid,
    'Solvent vapour is harmful and can be set alight.',
    'Ventilate, keep flames and sparks away, and ground metal cans, as the safety data sheets say.',
    'Flammable vapour. Ventilate. No sparks.',
  ),
  rule(
    'electronics',
    ['mix', 'spray', 'clean'],
    isLiquid,
    'Ordinary electronics are ignition sources: this computer, a phone, a printer, a foot switch.',
    'Leave them outside while there is vapour; take the printed card in. Photograph after the booth has purged.',
    'No phone or computer near the vapour.',
  ),
  rule(
    'pressure',
    ['spray', 'clean'],
    isLiquid,
    'Gun and hose are under pressure.',
    'Stay within the gun’s rating and local limits on cap pressure. Take the air off before opening or cleaning the gun.',
    'Take the air off before opening the gun.',
  ),
  rule(
    'rags',
    ['mix', 'clean', 'store'],
    isLiquid,
    'Rags with solvent or paint can catch fire by themselves.',
    'Put them into a closed metal bin, and give them away as waste as local rules say.',
    'Rags go into a closed metal bin.',
  ),
  rule(
    'powder',
    ['mix'],
    ({ kinds }) => kinds.has('pearl') || kinds.has('flake'),
    'Fine powder hangs in the air.',
    'Pour it slowly, low over the cup, with the dust mask that its safety data sheet asks for.',
    'Powder: pour low and slowly, dust mask.',
  ),
  rule(
    'dust',
    ['sand'],
    () => true,
    'Sanding dust carries what the film is made of; fresh film is the worst.',
    'Sand wet or with extraction, and wear what the safety data sheets of its products ask for.',
    'Sanding dust: extract it, wear a mask.',
  ),
  rule(
    'storage-catalysed',
    ['store'],
    hardens,
    'What has a hardener in it goes on hardening, warms up, and can build up pressure in a closed can.',
    'Never close it tightly and never pour it back. Let it harden in the open, as its data sheet says.',
    'Hardener in it: never close it tightly.',
  ),
  rule(
    'storage',
    ['store'],
    (inIt) => isLiquid(inIt) && !hardens(inIt),
    'Open paint gives off flammable vapour.',
    'Keep it closed, cool and away from flames, as data sheets and local fire rules say.',
    'Flammable. Keep closed and cool.',
  ),
  rule(
    'local-rules',
    ['spray', 'store'],
    isLiquid,
    'What may be sprayed, where, and with which gun is set by local air and fire rules.',
    'Follow them and the data sheets; some work is for licensed shops only.',
    'Local rules and data sheets come first.',
  ),
]

/**
 * Cautions that apply to a step of the work, by what is in the mixture: the gravest first.
 * @param ingredients  of the mixture, or of the film that is sanded; nothing in it, nothing to say
 */
export function cautionsFor(ingredients: readonly Ingredient[], step: WorkStep): SafetyCaution[] {
  if (ingredients.length === 0) return []
  const naming = ingredients.filter(namesIsocyanates)
  const inIt = {
    kinds: new Set(ingredients.map(({ kind }) => kind)),
    isocyanates: naming.length > 0,
    named: naming.length > 0 && naming.every(({ kind }) => kind !== 'hardener'),
  }
  return rules.filter(({ steps, when }) => steps.includes(step) && when(inIt)).map(({ caution }) => caution)
}

/** The few that a cup label has room for. What is in the cup is going to be sprayed, so spraying speaks. */
export const labelCautions = (ingredients: readonly Ingredient[], room = 2): string[] =>
  cautionsFor(ingredients, 'spray')
    .map(({ label }) => label)
    .slice(0, room)
