import { planInto } from '../../../commands/rack/map-gaps.ts'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { sayNumber } from '../../../parts/say-numbers.ts'
import { useStore } from '../../../state/store.ts'
import { leastApart, type MapGap } from './geometry/gaps.ts'
import { lchInWords } from './geometry/hue-words.ts'
import { labOf, type MapSteps } from './geometry/steps.ts'
import { lookAtGap } from './map-acts.ts'
import { useMap } from './map-state.ts'
import { gapInWords, gapName } from './step-words.ts'

/** Colours that nobody sprayed though they lie between sprayed ones, numbered as on the map. */
export function GapList({ steps }: { steps: MapSteps }) {
  const gaps = useMap((s) => s.gaps)
  const all = useMap((s) => s.slice.middle === null)
  const settings = useStore((s) => s.settings)
  const least = sayNumber(leastApart, 1, settings)
  return (
    <section className="block map-gaps" aria-label="Gaps" aria-busy={gaps === null}>
      <h2>{all ? 'Gaps' : 'Gaps in this slice'}</h2>
      {gaps?.length === 0 ? (
        <p>{`None: wherever panels lie all around, one is within ${least} dE00.`}</p>
      ) : (
        <ol>
          {gaps?.map((gap, i) => (
            <GapRow key={`${gap.l} ${gap.a} ${gap.b}`} steps={steps} gap={gap} index={i} />
          ))}
        </ol>
      )}
      <p className="fine">
        {`A gap: panels lie around it, and none that is shown comes nearer than ${least} dE00. Whether your materials reach it, Plan says.`}
      </p>
    </section>
  )
}

function GapRow({ steps, gap, index }: { steps: MapSteps; gap: MapGap; index: number }) {
  const settings = useStore((s) => s.settings)
  const isLooked = useMap((s) => s.gapAt === index)
  const codes = gap.sides.map((row) => steps.codes[steps.panel[row]!]!)
  return (
    <li className="map-gap" aria-current={isLooked ? 'true' : undefined}>
      <button
        type="button"
        className="map-gap-no"
        aria-label={`Gap ${index + 1}: ${gapInWords(gap, settings)}. Show it on the map`}
        onClick={() => lookAtGap(index)}
      >
        {index + 1}
      </button>
      <span className="map-gap-two">
        {gap.sides.map((row, i) => (
          <Paint key={row} lab={labOf(steps, row)} label={codes[i]!} flat />
        ))}
      </span>
      <p>
        <b>{gapName(steps, gap)}</b>
        <span className="num">{lchInWords(gap, settings)}</span>
        <span>{`nearest ${sayNumber(gap.nearest, 1, settings)} dE00`}</span>
        <span className="num fine">{codes.join(', ')}</span>
      </p>
      <button
        type="button"
        className="btn"
        aria-label={`Plan into gap ${index + 1}`}
        onClick={() => {
          void planInto(gap, useStore.getState())
        }}
      >
        Plan
      </button>
    </li>
  )
}
