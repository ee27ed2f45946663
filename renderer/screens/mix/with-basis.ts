import type { Basis, Mixture } from '../../../shared-core/records/mixture.ts'

/** The whole formula, nested mixtures too, by volume or by mass. */
export const withBasis = (mixture: Mixture, basis: Basis): Mixture => ({
  ...mixture,
  basis,
  parts: mixture.parts.map((part) => (part.mixture ? { ...part, mixture: withBasis(part.mixture, basis) } : part)),
})
