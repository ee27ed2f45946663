import { useShallow } from 'zustand/react/shallow'
import { labFigures } from '../../../parts/lab-figures.ts'
import { sayNumber } from '../../../parts/say-numbers.ts'
import { useStore } from '../../../state/store.ts'
import { chooseMark, useDesk } from '../desk-state.ts'
import { knownAt, knownKeysOf, nameOfKnown } from '../known-marks.ts'
import { layoutOf } from '../marks.ts'
import { CardCheck } from './card-check.tsx'

/** Everything of known colour that is marked; each row leads to its figures. */
export function KnownFields() {
  const [marks, chosen] = useDesk(useShallow((s) => [s.marks, s.chosen]))
  const settings = useStore((s) => s.settings)
  const keys = knownKeysOf(marks)
  if (keys.length === 0) return null
  const { mmPerPixel } = layoutOf(marks, settings.cardSizeMm)
  const byCard = marks.card && settings.cardSizeMm
  const scaleFrom = byCard ? 'by the size of the card' : marks.sheet ? 'by the photo sheet' : 'as marked before'
  return (
    <section className="block tray-known" aria-label="Known colours in the photo">
      <h2>Known colours in the photo</h2>
      <ul>
        {keys.map((key) => {
          const known = knownAt(marks, key)
          return (
            <li key={key}>
              <button
                type="button"
                aria-pressed={chosen?.key === key}
                onClick={() => chooseMark({ key, handle: null, band: 0 })}
              >
                <span>{nameOfKnown(marks, key)}</span>
                <span className="num">
                  {known && 'lab' in known ? labFigures(known.lab, settings) : 'first corner: patch 1'}
                </span>
              </button>
            </li>
          )
        })}
      </ul>
      {marks.card && chosen?.key !== 'card' ? <CardCheck /> : null}
      {mmPerPixel ? (
        <p className="fine">
          {sayNumber(1 / mmPerPixel, 1, settings)} pixels to a millimetre, {scaleFrom}.
        </p>
      ) : null}
    </section>
  )
}
