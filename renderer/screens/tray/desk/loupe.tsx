import { useShallow } from 'zustand/react/shallow'
import type { Point } from '../../../../shared-core/records/area.ts'
import { client } from '../../../client/client.ts'
import { useDesk } from '../desk-state.ts'
import type { Size } from '../marks.ts'
import { handlesOf } from '../moving.ts'
import { handleName } from './marks-drawn.tsx'
import { toScreen, type View } from './zoom.ts'

const power = 6
const width = 170
const height = 140

/** With its frame and the line below it. */
const outer = { width: width + 12, height: height + 36 }
/** Ground between a finger and the magnifier: what a fingertip and its nail hide. */
const clear = 56
const rim = 8

/** Where the magnifier stands while a finger or a pen holds a corner: above it, or beside it where no room is above. */
export function besideFinger([x, y]: Point, room: Size): { left: number; top: number } {
  const within = (at: number, size: number, space: number) =>
    Math.min(Math.max(at, rim), Math.max(space - size - rim, rim))
  const top = y - clear - outer.height
  if (top >= rim) return { left: within(x - outer.width / 2, outer.width, room.width), top }
  // the hand comes from below and mostly from the right: the left side is seen
  const left = x - clear - outer.width
  return { left: left >= rim ? left : x + clear, top: within(y - outer.height, outer.height, room.height) }
}

function saidOf(name: string, handle: number, snapped: boolean): string {
  const which = name.endsWith('corner')
    ? `Corner ${handle + 1} of 4, ${name.replace(' corner', '').toLowerCase()}`
    : name
  return snapped ? `${which.split(',')[0]!}, on the edge` : which
}

/** What lies under the chosen corner, six times as large; it stands where it does not cover that corner. */
export function Loupe({ view }: { view: View }) {
  const [photo, marks, chosen, room] = useDesk(useShallow((s) => [s.photo, s.marks, s.chosen, s.room]))
  const [held, snapped] = useDesk(useShallow((s) => [s.held, s.snapped]))
  if (!photo || chosen === null || chosen.handle === null) return null
  const point = handlesOf(marks, chosen.key)[chosen.handle]
  if (!point) return null
  const [x, y] = toScreen(view, point)
  const covered = x > room.width - 240 && y > room.height - 240
  const beside = held && held.by !== 'mouse' ? besideFinger(held.at, room) : null
  const scale = view.scale * power
  const name = handleName(marks, chosen.key, chosen.handle)
  return (
    <div
      className={`tray-loupe ${beside ? 'beside' : covered ? 'left' : ''}`}
      style={beside ? { left: beside.left, top: beside.top } : {}}
      aria-hidden="true"
    >
      <div
        className="tray-glass"
        style={{
          width,
          height,
          backgroundImage: `url("${client().pictureUrl(`photo/${photo.sha256}/full`)}")`,
          backgroundSize: `${photo.width * scale}px ${photo.height * scale}px`,
          backgroundPosition: `${width / 2 - point[0] * scale}px ${height / 2 - point[1] * scale}px`,
        }}
      >
        <svg viewBox={`0 0 ${width} ${height}`}>
          <path className="tray-line under" d="M85 15V60M85 80V125M30 70H75M95 70H140" />
          <path className="tray-line" d="M85 15V60M85 80V125M30 70H75M95 70H140" />
        </svg>
      </div>
      <p>{saidOf(name, chosen.handle, snapped)}</p>
    </div>
  )
}
