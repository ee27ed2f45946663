import { memo, useLayoutEffect, useRef } from 'react'
import type { Band, PanelSummary } from '../../../../shared-core/records/panel.ts'
import { client } from '../../../client/client.ts'
import { paintOf } from '../../../parts/gamut-word.ts'
import { coatRange, coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { pathOf } from '../../../state/router.ts'
import { askPicture } from './picture-queue.ts'

/** As many strokes as fit beside the paint; more are written as a figure. */
const mostStrokes = 6

type Props = {
  id: string
  index: number
  /** Undefined while what it shows is on its way. */
  panel: PanelSummary | undefined
  chosen: boolean
  /** Why it does not fit the rest, in words. */
  doubt: string | null
  /** This one takes the tab key's focus. */
  current: boolean
  /** Width of the paint. */
  size: number
  /** Whether pictures are asked for, or the readings' flat colours stand alone. */
  pictures: boolean
}

/**
 * A panel on its hook: real paint in bands, coats as strokes at its left, under it what it is. Its elements are
 * taken over from a panel that has gone by, so that nothing of it may rest on which panel it was: keys are places, and only a
 * picture is another element for each panel, for it would show the old paint until the new one has come.
 */
export function HangingPanel({ id, index, panel, chosen, doubt, current, size, pictures }: Props) {
  return (
    <a
      className={`rack-card ${chosen ? 'is-chosen' : ''}`}
      href={pathOf({ at: 'panel', key: panel?.code ?? id })}
      data-panel={id}
      data-index={index}
      tabIndex={current ? 0 : -1}
      aria-busy={panel === undefined}
      aria-label={`${panel ? inWords(panel) : 'A panel on its way'}${doubt === null ? '' : `, does not fit the rest: ${doubt}`}${chosen ? ', chosen' : ''}`}
      draggable={false}
    >
      {panel ? <Face panel={panel} size={size} pictures={pictures} /> : <span className="rack-paint is-coming" />}
    </a>
  )
}

function Face({ panel, size, pictures }: { panel: PanelSummary; size: number; pictures: boolean }) {
  return (
    <>
      <span className="rack-tally" aria-hidden="true">
        {panel.bands.map((band, place) => (
          <Coats key={place} coats={band.coats} />
        ))}
      </span>
      {hasColour(panel) ? (
        <span className="rack-paint">
          {panel.bands.map((band, place) => (
            <BandPaint
              key={place}
              band={band}
              label={`${panel.code}, ${coatsInWords(band.coats)}`}
              source={pictures && band.cut ? cutKey(band.cut, size, panel.bands.length) : null}
            />
          ))}
        </span>
      ) : (
        <span className="rack-paint is-outline">
          <span>{panel.status === 'planned' ? 'planned' : 'no colour yet'}</span>
        </span>
      )}
      <span className="rack-caption" aria-hidden="true">
        <span>
          <b className="num">{panel.code}</b>
          {panel.status === 'retired' ? <span className="fine"> retired</span> : null}
        </span>
        <span>{panel.title || panel.candies.join(' + ')}</span>
        <span className="fine num">{smallPrint(panel)}</span>
      </span>
    </>
  )
}

/** The reading's colour at once, over it the picture when it has come. Screen preview only. */
function BandPaint({ band, label, source }: { band: Band; label: string; source: string | null }) {
  const nothing = !band.lab && !band.cut
  return (
    <span
      className={`rack-band ${nothing ? 'is-none' : ''}`}
      role="img"
      aria-label={nothing ? `${label}, no colour yet` : label}
      style={band.lab ? { background: flatColour(band.lab) } : undefined}
    >
      {source ? <Picture key={source} source={source} /> : null}
    </span>
  )
}

/** Memoised: a card that is chosen asks for no picture again. */
const Picture = memo(function Picture({ source }: { source: string }) {
  const image = useRef<HTMLImageElement>(null)
  useLayoutEffect(() => askPicture(image.current!, client().pictureUrl(source)), [source])
  return (
    <img
      ref={image}
      alt=""
      draggable={false}
      decoding="async"
      // a picture that cannot be had leaves the reading's colour to be seen
      onError={({ currentTarget }) => {
        currentTarget.style.visibility = 'hidden'
      }}
    />
  )
})

/** Reckoned once for each reading: rails are drawn again and again. */
type BandLab = NonNullable<Band['lab']>
const flatColours = new WeakMap<BandLab, string>()
function flatColour(lab: BandLab): string {
  const known = flatColours.get(lab)
  if (known !== undefined) return known
  const { css } = paintOf(lab)
  flatColours.set(lab, css)
  return css
}

/** The smallest rendition that fills a band on this screen. Sizes: 128, 256 and 640 px on the longer side. */
export function cutKey(
  cut: string,
  size: number,
  bands: number,
  pixelRatio = globalThis.devicePixelRatio || 1,
): string {
  const longer = Math.max(size, (size * 2) / bands) * pixelRatio
  // a tenth more than its pixels still looks the same
  if (longer <= 128 * 1.1) return `cut/${cut}/small`
  return longer <= 256 * 1.1 ? `cut/${cut}` : `cut/${cut}/large`
}

/** One element for all strokes of a step: thousands go by. */
function Coats({ coats }: { coats: number }) {
  if (coats > mostStrokes) return <b className="num">{coats}</b>
  if (coats === 0) return <i className="rack-bare" />
  if (coats % 1 !== 0) return <Strokes coats={coats} />
  return <i className="rack-coats" style={{ width: coats * 4 - 2 }} />
}

const hasColour = (panel: PanelSummary): boolean => panel.bands.some((band) => band.cut || band.lab)

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
