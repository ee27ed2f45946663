import { type CSSProperties, type MouseEvent, useRef } from 'react'
import type { PanelSummary } from '../../../shared-core/records/panel.ts'
import { Paint } from '../../parts/lab-swatch.tsx'
import { coatRange, coatsInWords, Strokes } from '../../parts/strokes.tsx'
import { pathOf } from '../../state/router.ts'

/** As many strokes as fit beside the paint; more are written as a figure. */
const mostStrokes = 6
/** How long a finger rests on a panel until it is chosen. */
const longPressMs = 500

type Props = {
  panel: PanelSummary
  chosen: boolean
  /** Why it does not fit the rest, in words. */
  doubt: string | null
  /** This one takes the tab key's focus. */
  current: boolean
  style?: CSSProperties
  onPress: (event: MouseEvent) => void
  onLongPress: () => void
  onFocus: () => void
}

/** A panel on its hook: real paint in bands, coats as strokes at its left, under it what it is. */
export function HangingPanel({ panel, chosen, doubt, current, onPress, onLongPress, onFocus }: Props) {
  const press = useRef<ReturnType<typeof setTimeout> | undefined>(undefined)
  const held = useRef(false)
  const endPress = () => clearTimeout(press.current)
  return (
    <a
      className={`rack-card ${chosen ? 'is-chosen' : ''}`}
      href={pathOf({ at: 'panel', key: panel.code })}
      data-panel={panel.id}
      tabIndex={current ? 0 : -1}
      aria-label={`${inWords(panel)}${doubt === null ? '' : `, does not fit the rest: ${doubt}`}${chosen ? ', chosen' : ''}`}
      draggable={false}
      onFocus={onFocus}
      onClick={(event) => {
        event.preventDefault()
        if (held.current) held.current = false
        else onPress(event)
      }}
      onPointerDown={(event) => {
        held.current = false
        if (event.pointerType !== 'touch') return
        press.current = setTimeout(() => {
          held.current = true
          onLongPress()
        }, longPressMs)
      }}
      onPointerUp={endPress}
      onPointerCancel={endPress}
      onPointerLeave={endPress}
      onContextMenu={(event) => {
        if (held.current) event.preventDefault()
      }}
    >
      <Tally panel={panel} />
      <span className={`rack-paint ${hasColour(panel) ? '' : 'is-outline'}`}>
        {hasColour(panel) ? (
          panel.bands.map((band) => (
            <Paint
              key={band.stepId}
              lab={band.lab}
              cut={band.cut}
              label={`${panel.code}, ${coatsInWords(band.coats)}`}
            />
          ))
        ) : (
          <span>{panel.status === 'planned' ? 'planned' : 'no colour yet'}</span>
        )}
      </span>
      <span className="rack-caption" aria-hidden="true">
        <span>
          <b className="num">{panel.code}</b>
          {panel.status === 'retired' ? <span className="fine"> retired</span> : null}
        </span>
        <span>{panel.title || panel.candies.join(' + ')}</span>
        <span className="fine num">{smallPrint(panel)}</span>
      </span>
    </a>
  )
}

function Tally({ panel }: { panel: PanelSummary }) {
  return (
    <span className="rack-tally" aria-hidden="true">
      {panel.bands.map((band) =>
        band.coats > mostStrokes ? (
          <b key={band.stepId} className="num">
            {band.coats}
          </b>
        ) : (
          <Strokes key={band.stepId} coats={band.coats} />
        ),
      )}
    </span>
  )
}

export const hasColour = (panel: PanelSummary): boolean => panel.bands.some((band) => band.cut || band.lab)

/** "silver, 0–4 coats" */
function smallPrint(panel: PanelSummary): string {
  return `${panel.ground ?? 'no ground'}, ${coatRange(panel.coatsFrom, panel.coatsTo)}`
}

function inWords(panel: PanelSummary): string {
  const words = [`${panel.code} ${panel.title}`.trim(), panel.ground ? `over ${panel.ground}` : 'no ground']
  words.push(coatRange(panel.coatsFrom, panel.coatsTo))
  if (panel.cleared) words.push('cleared')
  if (panel.status !== 'sprayed') words.push(panel.status)
  return words.join(', ')
}
