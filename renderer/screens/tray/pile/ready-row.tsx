import type { Layout, Point } from '../../../../shared-core/records/area.ts'
import type { Photo } from '../../../../shared-core/records/photo.ts'
import { client } from '../../../client/client.ts'
import { PhotoImage } from '../../../parts/photo-image.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { howRead } from './how-read.ts'

/** As tall as its style says. */
export const readyRowHigh = 92
const thumb = { width: 112, height: 84 }

type Props = {
  photoId: string
  panelCode: string
  row: number
  count: number
  here: boolean
  isLeft: boolean
  /** Somebody has begun to mark it. */
  isBegun: boolean
  onPress: () => void
}

/** One photo that is sure: its picture with what will be read in it, its panel, its light. */
export function ReadyRow({ photoId, panelCode, row, count, here, isLeft, isBegun, onPress }: Props) {
  const photo = useAnswer('photos.get', { photoId }).value?.photo
  const proposal = useAnswer('proposals.get', { photoId }).value?.proposal
  const lights = useStore((s) => s.lights)
  const layout = proposal?.layout ?? null
  const known = useAnswer('sheets.listKnown', layout?.sheet ? {} : null).value?.sheets
  const areas = layout?.areas.length ?? 0
  const light = lights.find(({ id }) => id === proposal?.lightId)
  const facts = [
    areas === 0 ? null : areas === 1 ? '1 area' : `${areas} steps`,
    proposal && (!layout?.sheet || known) ? howRead(proposal, known ?? []) : null,
    light ? light.name : 'light not named',
  ].filter((part) => part !== null)
  return (
    // oxlint-disable-next-line jsx-a11y/click-events-have-key-events, jsx-a11y/interactive-supports-focus -- the list takes the keys for all of its rows
    <div
      id={`ready-${photoId}`}
      role="option"
      aria-selected={!isLeft}
      aria-setsize={count}
      aria-posinset={row + 1}
      className={`${here ? 'here' : ''} ${isLeft ? 'out' : ''}`}
      style={{ top: row * readyRowHigh }}
      onClick={onPress}
    >
      <svg className="tray-tick" viewBox="0 0 28 28" aria-hidden="true">
        {isLeft ? null : <path d="M7 14.5 12 19.5 21 9" />}
      </svg>
      {photo ? <Thumb photo={photo} layout={layout} /> : <span className="tray-ready-thumb" />}
      <span className="tray-ready-words">
        <span>
          <b className="num">{panelCode}</b> {proposal?.panelTitle}
        </span>
        <span className="fine">{facts.join(', ')}</span>
        <span className="fine">{isBegun ? 'You have begun to mark it: it stays on the desk' : photo?.name}</span>
      </span>
    </div>
  )
}

function Thumb({ photo, layout }: { photo: Photo; layout: Layout | null }) {
  const scale = Math.min(thumb.width / photo.width, thumb.height / photo.height)
  const [width, height] = [photo.width * scale, photo.height * scale]
  return (
    <span className="tray-ready-thumb">
      <span style={{ width, height }}>
        <PhotoImage
          src={client().pictureUrl(`photo/${photo.sha256}/thumb`)}
          alt=""
          none={null}
          style={{ width, height }}
        />
        <svg viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
          {outlinesOf(layout).map((points, i) => {
            const d = `M${points.map(([x, y]) => `${(x * scale).toFixed(1)} ${(y * scale).toFixed(1)}`).join('L')}Z`
            return (
              <g key={i}>
                <path className="tray-line under small" d={d} />
                <path className="tray-line small" d={d} />
              </g>
            )
          })}
        </svg>
      </span>
    </span>
  )
}

/** Everything that is read or known in it. */
function outlinesOf(layout: Layout | null): Point[][] {
  if (!layout) return []
  return [
    ...layout.areas.map(({ shape }) => (shape.kind === 'round' ? octagon(shape.centre, shape.radius) : shape.quad)),
    ...(layout.card ? [layout.card.quad] : []),
    ...(layout.chart ? [layout.chart.quad] : []),
  ]
}

const octagon = ([x, y]: Point, r: number): Point[] =>
  Array.from({ length: 8 }, (_, i): Point => [x + r * Math.cos((i * Math.PI) / 4), y + r * Math.sin((i * Math.PI) / 4)])
