import type { ReactNode } from 'react'
import { PlaceLink } from '../../parts/place-link.tsx'

/** A way to a material on the shelf, which opens in a tab of its own when asked so. */
export function ShelfLink({ materialId, children }: { materialId: string; children: ReactNode }) {
  const to = { at: 'shelf', materialId } as const
  return (
    <PlaceLink to={to} className="mix-link">
      {children}
    </PlaceLink>
  )
}
