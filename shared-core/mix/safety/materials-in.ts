import type { MaterialRef, Mixture } from '../../records/mixture.ts'

/** Every material in a mixture, at any depth, in pouring order; one that stands in it twice comes twice. */
export const materialsIn = (mixture: Mixture): MaterialRef[] =>
  mixture.parts.flatMap((part) => (part.material ? [part.material] : part.mixture ? materialsIn(part.mixture) : []))

/** It hardens in the cup: it has a pot life. */
export const isCatalysed = (mixture: Mixture): boolean => materialsIn(mixture).some(({ kind }) => kind === 'hardener')
