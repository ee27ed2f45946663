import type { CSSProperties } from 'react'
import type { MarkedArea } from '../../../shared-core/records/area.ts'
import type { Panel } from '../../../shared-core/records/panel.ts'
import type { Photo } from '../../../shared-core/records/photo.ts'
import { client } from '../../client/client.ts'
import { coatsInWords, Strokes } from '../../parts/strokes.tsx'
import { type Box, boxOfShape, cornerTicks, frameOf } from './framing.ts'

/** Ticks draw in photo pixels: this share of the frame's width. */
const tickShare = 0.045
/** A plate needs about this share of the frame at the left of its area. */
const plateShare = 0.15

/** A photo with its areas as corner ticks and a plate beside each; the picture keeps its shape. */
export function MarkedPhoto({ photo, panel, whole }: { photo: Photo; panel: Panel; whole: boolean }) {
  const frame = whole ? { x: 0, y: 0, width: photo.width, height: photo.height } : frameOf(photo.layout, photo)
  const tick = frame.width * tickShare
  const names = photo.layout.areas.map((area) => coatsOf(area, panel))
  const label = `Photo of ${panel.code}: ${names.map((coats) => (coats === null ? 'an area' : coatsInWords(coats))).join(', ')}${photo.layout.card ? ', with a grey card' : ''}`
  return (
    <div className="panel-shot" style={{ ['--ratio' as string]: `${frame.width / frame.height}` }}>
      <div className="panel-frame">
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
        {photo.layout.areas.map((area, i) => (
          <Plate key={i} area={area} coats={names[i] ?? null} frame={frame} />
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

/** Beside its area, never on paint where there is room; coats in figures and strokes. */
function Plate({ area, coats, frame }: { area: MarkedArea; coats: number | null; frame: Box }) {
  const box = boxOfShape(area.shape)
  const left = (box.x - frame.x) / frame.width
  const right = (box.x + box.width - frame.x) / frame.width
  const atRight = left < plateShare && 1 - right > left
  const style: CSSProperties = {
    left: `${(atRight ? right : Math.max(left, plateShare)) * 100}%`,
    top: `${((box.y + box.height / 2 - frame.y) / frame.height) * 100}%`,
  }
  const fade = area.shape.kind === 'fade'
  return (
    <span className={`panel-plate num ${atRight ? 'is-right' : ''}`} style={style} aria-hidden="true">
      {fade ? 'fade' : (coats ?? 'no step')}
      {fade || coats === null ? null : <Strokes coats={coats} />}
    </span>
  )
}
