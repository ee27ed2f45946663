import './place-link.css'
import type { ComponentProps } from 'react'
import { go, pathOf, type Route } from '../state/router.ts'

type Props = Omit<ComponentProps<'a'>, 'href' | 'onClick'> & {
  to: Route
  /** Whether the way there leaves an entry to come back to. */
  how?: 'push' | 'replace'
  /** Done before it is gone there; not when it opens in a tab of its own. */
  onGo?: () => void
}

/** A way to another place that opens in a tab of its own when asked so. */
export function PlaceLink({ to, how = 'push', onGo, children, ...rest }: Props) {
  return (
    <a
      {...rest}
      href={pathOf(to)}
      onClick={(event) => {
        if (event.ctrlKey || event.metaKey || event.shiftKey) return
        event.preventDefault()
        onGo?.()
        go(to, how)
      }}
    >
      {children}
    </a>
  )
}

export const PanelLink = ({ code }: { code: string }) => (
  <PlaceLink className="place-link" to={{ at: 'panel', key: code }}>
    <b className="num">{code}</b>
  </PlaceLink>
)
