import { useLayoutEffect, useRef, useState } from 'react'
import type { MarkedArea } from '../../../shared-core/records/area.ts'
import type { Panel } from '../../../shared-core/records/panel.ts'
import type { Photo } from '../../../shared-core/records/photo.ts'
import { client } from '../../client/client.ts'
import { coatsInWords, Strokes } from '../../parts/strokes.tsx'
import { cornerTicks, frameOf } from './framing.ts'
import { type PlateSpot, placePlates } from './plates.ts'

/** Ticks draw in photo pixels: this share of the frame's width. */
const tickShare = 0.045
/** Width of the frame before it has been measured, px. */
const usualWidth = 392

/** A photo with its areas as corner ticks and a plate beside each; the picture keeps its shape. */
export function MarkedPhoto({ photo, panel, whole }: { photo: Photo; panel: Panel; whole: boolean }) {
  const frame = whole ? { x: 0, y: 0, width: photo.width, height: photo.height } : frameOf(photo.layout, photo)
  const tick = frame.width * tickShare
  const ratio = frame.width / frame.height
  const [width, measured] = useWidth()
  const plates = placePlates(
    photo.layout.areas.map((area) => area.shape),
    frame,
    { width, height: width / ratio },
  )
  const names = photo.layout.areas.map((area) => coatsOf(area, panel))
  const told = photo.layout.areas.map(({ referenceId }, i) => {
    const coats = names[i] ?? null
    return coats === null ? (referenceId === undefined ? 'an area' : 'a reference') : coatsInWords(coats)
  })
  const label = `Photo of ${panel.code}: ${told.join(', ')}${photo.layout.card ? ', with a grey card' : ''}`
  return (
    <div className="panel-shot" style={{ ['--ratio' as string]: `${ratio}` }}>
      <div className="panel-frame" ref={measured}>
        <svg
          viewBox={`${frame.x} ${frame.y} ${frame.width} ${frame.height}`}
          preserveAspectRatio="none"
          role="img"
          aria-label={label}
        >
          <image
            href={client().pictureUrl(`photo/${photo.sha256}/view`)}
            x="0"
            y="0"
            width={photo.width}
            height={photo.height}
            preserveAspectRatio="none"
          />
          {photo.layout.areas.map((area, i) => (
            <AreaMark key={i} area={area} tick={tick} />
          ))}
          {photo.layout.card ? <Twice d={cornerTicks(photo.layout.card.quad, tick)} /> : null}
        </svg>
        <svg className="panel-leaders" aria-hidden="true">
          {plates.spots
            .filter(({ moved }) => moved)
            .map(({ index, x, y, at }) => (
              <Twice key={index} d={`M${x} ${y}L${at.x} ${at.y}`} />
            ))}
        </svg>
        {plates.spots.map((spot) => (
          <Plate
            key={spot.index}
            spot={spot}
            small={plates.small}
            area={photo.layout.areas[spot.index]}
            coats={names[spot.index] ?? null}
          />
        ))}
      </div>
    </div>
  )
}

function coatsOf(area: MarkedArea, panel: Panel): number | null {
  return panel.steps.find((step) => step.id === area.stepId)?.coats ?? null
}

function AreaMark({ area, tick }: { area: MarkedArea; tick: number }) {
  const { shape } = area
  if (shape.kind === 'quad') return <Twice d={cornerTicks(shape.quad, tick)} />
  if (shape.kind === 'round') {
    const [x, y] = shape.centre
    const r = shape.radius
    return <Twice d={`M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`} />
  }
  return <Twice d={`M${shape.quad.map((point) => point.join(' ')).join('L')}Z`} dashed />
}

/** Black on white, so that it shows on any paint. */
function Twice({ d, dashed = false }: { d: string; dashed?: boolean }) {
  return (
    <>
      <path className="panel-tick is-under" d={d} />
      <path className={`panel-tick ${dashed ? 'is-dashed' : ''}`} d={d} />
    </>
  )
}

type PlateProps = { spot: PlateSpot; small: boolean; area: MarkedArea | undefined; coats: number | null }

/** Beside its area; coats in figures and, where there is room, in strokes. */
function Plate({ spot, small, area, coats }: PlateProps) {
  const fade = area?.shape.kind === 'fade'
  return (
    <span
      className={`panel-plate num is-${spot.side} ${small ? 'is-small' : ''}`}
      style={{ left: spot.x, top: spot.y }}
      aria-hidden="true"
    >
      {fade ? 'fade' : (coats ?? (area?.referenceId === undefined ? 'no step' : 'reference'))}
      {fade || coats === null || small || spot.side === 'above' ? null : <Strokes coats={coats} />}
    </span>
  )
}

/** The width of an element on screen, now and whenever it changes. */
function useWidth() {
  const ref = useRef<HTMLDivElement>(null)
  const [width, setWidth] = useState(usualWidth)
  useLayoutEffect(() => {
    const element = ref.current
    if (!element) return
    const measure = () => setWidth(element.clientWidth || usualWidth)
    measure()
    const observer = new ResizeObserver(measure)
    observer.observe(element)
    return () => observer.disconnect()
  }, [])
  return [width, ref] as const
}
