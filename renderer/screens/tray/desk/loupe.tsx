import { useShallow } from 'zustand/react/shallow'
import { client } from '../../../client/client.ts'
import { useDesk } from '../desk-state.ts'
import { handlesOf } from '../moving.ts'
import { handleName } from './marks-drawn.tsx'
import { toScreen, type View } from './zoom.ts'

const power = 6
const width = 170
const height = 140

/** What lies under the chosen corner, six times as large; it stands where it does not cover that corner. */
export function Loupe({ view }: { view: View }) {
  const [photo, marks, chosen, room] = useDesk(useShallow((s) => [s.photo, s.marks, s.chosen, s.room]))
  if (!photo || chosen === null || chosen.handle === null) return null
  const point = handlesOf(marks, chosen.key)[chosen.handle]
  if (!point) return null
  const [x, y] = toScreen(view, point)
  const covered = x > room.width - 240 && y > room.height - 240
  const scale = view.scale * power
  const name = handleName(marks, chosen.key, chosen.handle)
  return (
    <div className={`tray-loupe ${covered ? 'left' : ''}`} aria-hidden="true">
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
      <p>
        {name.endsWith('corner')
          ? `Corner ${chosen.handle + 1} of 4, ${name.replace(' corner', '').toLowerCase()}`
          : name}
      </p>
    </div>
  )
}
