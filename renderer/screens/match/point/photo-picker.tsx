import './point.css'
import { type KeyboardEvent, type MouseEvent, type PointerEvent, useLayoutEffect, useRef, useState } from 'react'
import type { Photo } from '../../../../shared-core/records/photo.ts'
import { client } from '../../../client/client.ts'

/** In shares of the photo's width and height. */
export type Share = { x: number; y: number }

/** Share of the photo's shorter side that is read around a point, as the service reads it. */
const reach = 1 / 50
/** How large that spot is drawn in the loupe, px, and the loupe itself. */
const spotPx = 40
const glass = { width: 170, height: 140 }
/** One press of an arrow key, as a share of the photo's longer side. */
const step = 1 / 200

const middle: Share = { x: 0.5, y: 0.5 }
const inside = (value: number) => Math.min(1, Math.max(0, value))

type Props = {
  photo: Photo
  /** What was taken. */
  point: Share | null
  onPick: (point: Share) => void
  /** Given where taking a point is all that is done here: the keys belong to it at once, and Escape leaves. */
  onLeave?: () => void
}

/** A photo in which any point can be taken: by pointer, or by arrows and Enter; a loupe shows what lies there. */
export function PhotoPicker({ photo, point, onPick, onLeave }: Props) {
  const frame = useRef<HTMLDivElement>(null)
  const isAll = onLeave !== undefined
  const [cursor, setCursor] = useState<Share | null>(isAll ? middle : null)
  const [width, setWidth] = useState(0)
  const measure = () => setWidth(frame.current?.clientWidth ?? 0)
  useLayoutEffect(() => {
    measure()
    if (isAll) frame.current?.focus({ preventScroll: true })
  }, [isAll])
  const shareAt = (event: MouseEvent): Share => {
    const box = frame.current!.getBoundingClientRect()
    return { x: inside((event.clientX - box.left) / box.width), y: inside((event.clientY - box.top) / box.height) }
  }
  const keys = (event: KeyboardEvent) => {
    const from = cursor ?? point ?? middle
    const by = step * (event.shiftKey ? 10 : 1) * Math.max(photo.width, photo.height)
    const [dx, dy] =
      ({ ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] } as const)[event.key] ?? []
    if (event.key === 'Enter') onPick(from)
    else if (event.key === 'Escape' && onLeave) onLeave()
    else if (event.key === 'Escape' && cursor) setCursor(null)
    else if (dx !== undefined && dy !== undefined) {
      measure()
      setCursor({ x: inside(from.x + dx / photo.width), y: inside(from.y + dy / photo.height) })
    } else return
    event.preventDefault()
    event.stopPropagation()
  }
  return (
    <div className="point-room" style={{ ['--ratio' as string]: String(photo.width / photo.height) }}>
      {/* oxlint-disable-next-line jsx-a11y/no-noninteractive-element-interactions -- a picture with keys of its own */}
      <div
        ref={frame}
        className="point-frame"
        role="application"
        // oxlint-disable-next-line jsx-a11y/no-noninteractive-tabindex -- a picture with keys of its own
        tabIndex={0}
        aria-label={`${photo.name}: take a colour at any point. Arrow keys move, Enter takes it${isAll ? ', Escape leaves' : ''}.`}
        onKeyDown={keys}
        onPointerMove={(event: PointerEvent) => {
          measure()
          setCursor(shareAt(event))
        }}
        onPointerLeave={() => isAll || setCursor(null)}
        onClick={(event) => onPick(shareAt(event))}
      >
        <img src={client().pictureUrl(`photo/${photo.sha256}/view`)} alt={photo.name} draggable={false} />
        {point ? <Spot photo={photo} at={point} taken /> : null}
        {cursor ? <Spot photo={photo} at={cursor} taken={false} /> : null}
        {cursor && width > 0 ? <Glass photo={photo} at={cursor} width={width} /> : null}
      </div>
    </div>
  )
}

/** What is read around a point. */
function Spot({ photo, at, taken }: { photo: Photo; at: Share; taken: boolean }) {
  const r = reach * Math.min(photo.width, photo.height)
  const [x, y] = [at.x * photo.width, at.y * photo.height]
  return (
    <svg
      className="point-spot"
      viewBox={`0 0 ${photo.width} ${photo.height}`}
      preserveAspectRatio="none"
      aria-hidden="true"
    >
      <circle className="under" cx={x} cy={y} r={r} />
      <circle cx={x} cy={y} r={r} strokeDasharray={taken ? undefined : '4 4'} />
      <path className="under" d={ticks(x, y, r)} />
      <path d={ticks(x, y, r)} />
    </svg>
  )
}

const ticks = (x: number, y: number, r: number) =>
  `M${x - 2 * r} ${y}H${x - r}M${x + r} ${y}H${x + 2 * r}M${x} ${y - 2 * r}V${y - r}M${x} ${y + r}V${y + 2 * r}`
const glassTicks = ticks(glass.width / 2, glass.height / 2, spotPx / 1.5)

function Glass({ photo, at, width }: { photo: Photo; at: Share; width: number }) {
  const scale = spotPx / (reach * Math.min(photo.width, photo.height))
  const across = photo.width * scale
  const down = photo.height * scale
  const height = (width * photo.height) / photo.width
  // beside the point, on the side where there is room
  const left = at.x * width + 32 + glass.width > width ? at.x * width - 32 - glass.width : at.x * width + 32
  const top = Math.min(Math.max(at.y * height - glass.height / 2, 0), Math.max(height - glass.height, 0))
  return (
    <div
      className="point-glass"
      aria-hidden="true"
      style={{
        ...glass,
        left: Math.max(left, 4),
        top,
        backgroundImage: `url("${client().pictureUrl(`photo/${photo.sha256}/full`)}")`,
        backgroundSize: `${across}px ${down}px`,
        backgroundPosition: `${glass.width / 2 - at.x * across}px ${glass.height / 2 - at.y * down}px`,
      }}
    >
      <svg viewBox={`0 0 ${glass.width} ${glass.height}`}>
        <circle className="under" cx={glass.width / 2} cy={glass.height / 2} r={spotPx} />
        <path className="under" d={glassTicks} />
        <circle cx={glass.width / 2} cy={glass.height / 2} r={spotPx} />
        <path d={glassTicks} />
      </svg>
    </div>
  )
}
