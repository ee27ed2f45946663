import { useShallow } from 'zustand/react/shallow'
import type { BoundPart, ReadColour } from '../../../../../shared-core/records/reading.ts'
import { weighedParts } from '../../../../parts/bound-parts.ts'
import { labFigures } from '../../../../parts/lab-figures.ts'
import { sayBound, sayNumber } from '../../../../parts/say-numbers.ts'
import { useAnswer } from '../../../../state/asking.ts'
import { useStore } from '../../../../state/store.ts'
import { type LiveReading, useDesk } from '../../desk-state.ts'
import { levelInWords } from './level-words.ts'
import { textureInWords } from './texture-words.ts'
import { whatHelps } from './what-helps.ts'

const sharedBy: Record<NonNullable<BoundPart['shared']>, string> = {
  photo: 'the same for all that is in this photo',
  'set-up': 'the same for all photos of this set-up',
}

/** The colour of the chosen area with its ±, and on demand why it is that large. */
export function AreaColour({ result }: { result: LiveReading['results'][number] | undefined }) {
  const settings = useStore((s) => s.settings)
  if (result?.refused) {
    return (
      <p>
        <b>{result.refused.message}</b> {result.refused.remedy}
      </p>
    )
  }
  const colour = result?.colour
  if (!colour) return null
  return (
    <>
      <p>
        <span className="num">
          Lab {labFigures(colour.lab, settings)} <b>± {sayBound(colour.bound90, settings)} dE00</b>
        </span>
        , {levelInWords[colour.level]}
      </p>
      <Why colour={colour} />
      {colour.texture ? (
        <div className="tray-texture">
          <h3>Grain and glints</h3>
          {textureInWords(colour.texture, settings).map((line) => (
            <p key={line}>{line}</p>
          ))}
        </div>
      ) : null}
    </>
  )
}

function Why({ colour: { parts, level, bound90 } }: { colour: ReadColour }) {
  const settings = useStore((s) => s.settings)
  const [tiles, flat] = useDesk(useShallow((s) => [s.marks.tiles.length > 0, s.circumstances.flatPhotoId !== null]))
  const setups = (useAnswer('setups.list', {}).value?.setups.length ?? 0) > 0
  const { main, rest } = weighedParts(parts)
  const helps = whatHelps(parts, level, { tiles, flat, setups })
  return (
    <details className="tray-why">
      <summary>Why ± {sayBound(bound90, settings)}</summary>
      <dl className="tray-parts">
        {main.map((part) => (
          <div key={`${part.cause} ${part.words}`}>
            <dt>
              {part.words}
              {part.shared ? <span className="fine">{sharedBy[part.shared]}</span> : null}
            </dt>
            <dd className="num">{sayNumber(part.de00, 1, settings)}</dd>
          </div>
        ))}
        {rest === null ? null : (
          <div>
            <dt>smaller causes together</dt>
            <dd className="num">{sayNumber(rest, 1, settings)}</dd>
          </div>
        )}
      </dl>
      <p className="fine">
        dE00: nine of ten readings lie within. Parts add as squares, so the largest counts most.
        {main.some(({ shared }) => shared !== undefined)
          ? ' What is shared cancels when two panels of one photo are compared.'
          : ''}
      </p>
      {helps.length > 0 ? (
        <>
          <h3>What would make it smaller</h3>
          <ul className="tray-helps">
            {helps.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </>
      ) : null}
    </details>
  )
}
