import type { ReactNode } from 'react'
import { go, pathOf } from '../../state/router.ts'

/** A way to a material on the shelf, which opens in a tab of its own when asked so. */
export function ShelfLink({ materialId, children }: { materialId: string; children: ReactNode }) {
  const to = { at: 'shelf', materialId } as const
  return (
    <a
      className="mix-link"
      href={pathOf(to)}
      onClick={(event) => {
        if (event.ctrlKey || event.metaKey || event.shiftKey) return
        event.preventDefault()
        go(to)
      }}
    >
      {children}
    </a>
  )
}
