import './panel-link.css'
import type { MouseEvent, ReactNode } from 'react'
import { go, pathOf, type Route } from '../state/router.ts'

/** A way to another place that opens in a tab of its own when asked so. */
export function PlaceLink({ to, children, className }: { to: Route; children: ReactNode; className?: string }) {
  return (
    <a
      className={className ?? 'place-link'}
      href={pathOf(to)}
      onClick={(event: MouseEvent) => {
        if (event.ctrlKey || event.metaKey || event.shiftKey) return
        event.preventDefault()
        go(to)
      }}
    >
      {children}
    </a>
  )
}

export const PanelLink = ({ code }: { code: string }) => (
  <PlaceLink to={{ at: 'panel', key: code }}>
    <b className="num">{code}</b>
  </PlaceLink>
)
