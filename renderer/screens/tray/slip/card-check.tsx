import { useShallow } from 'zustand/react/shallow'
import { useDesk } from '../desk-state.ts'

/** Whether the card agrees with something else whose colour is known. */
export function CardCheck() {
  const [check, chart, tiles, setup] = useDesk(
    useShallow((s) => [
      s.reading?.cardCheck,
      s.marks.chart !== null,
      s.marks.tiles.length > 0,
      s.circumstances.setupId !== null,
    ]),
  )
  if (check === undefined) return null
  const other = chart ? 'the chart' : tiles ? 'the tiles' : setup ? 'the set-up' : 'what else is known in the photo'
  if (check === 'agrees')
    return (
      <p className="tray-check">
        <b>Card agrees</b> with {other}.
      </p>
    )
  if (check === 'disagrees')
    return (
      <p className="tray-check">
        <b>Card disagrees</b> with {other}: see above.
      </p>
    )
  return (
    <p className="tray-check">
      <b>Card not checked:</b>{' '}
      {chart || tiles || setup
        ? `it could not be held against ${other}.`
        : 'nothing else of known colour is marked. Tiles, a chart or a set-up would check it.'}
    </p>
  )
}
