import type { MaterialKind, Mixture } from '../records/mixture.ts'

/** Names of the materials of some kinds, however deep. */
export function namesWithin(mixture: Mixture | null, kinds: readonly MaterialKind[]): string[] {
  if (!mixture) return []
  return mixture.parts.flatMap((part) => {
    if (part.mixture) return namesWithin(part.mixture, kinds)
    return part.material && kinds.includes(part.material.kind) ? [part.material.name] : []
  })
}
