import './views.css'
import { useState } from 'react'
import type { View } from '../../../../shared-core/records/colour.ts'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { sayBound } from '../../../parts/say-numbers.ts'
import { coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { stageInWords, viewInWords } from '../../../parts/views-in-words.ts'
import { useStore } from '../../../state/store.ts'
import { type ReadingGroup, speaksFor } from '../readings/reading-groups.ts'
import { repeatedInWords, textureInWords } from '../readings/source-words.ts'
import { textureOf, type ViewCell, type ViewLine, type ViewSet, viewSets, viewsByAngle } from './view-sets.ts'

type Props = {
  groups: ReadingGroup[]
  chosenId: string | null
  onChoose: (readingId: string) => void
}

/** One panel from near the glare to the flop: swatches that touch, a line for each step. Nothing while there is one view only. */
export function ViewsSideBySide({ groups, chosenId, onChoose }: Props) {
  const sets = viewSets(groups)
  const [key, setKey] = useState<string | null>(null)
  const set = sets.find((one) => one.key === key) ?? sets[0]
  if (!set) return null
  const missing = viewsByAngle.filter((view) => !set.views.includes(view))
  return (
    <section
      className="panel-sides block"
      aria-label="Views side by side"
      style={{ ['--views' as string]: set.views.length }}
    >
      <h3>Views side by side</h3>
      <Which sets={sets} shown={set} onShow={setKey} />
      <div className="panel-sides-heads">
        <span />
        {set.views.map((view) => (
          <span key={view}>{viewInWords[view]}</span>
        ))}
      </div>
      <div className="panel-sides-lines">
        {set.lines.map((line) => (
          <div key={line.stepId ?? ''} className="panel-side-line">
            <Coats coats={line.coats} />
            {line.cells.map((cell, i) => (
              <Side
                key={set.views[i]}
                cell={cell}
                name={`${viewInWords[set.views[i]!]}, ${coatsInWords(line.coats)}`}
                chosen={cell?.row.readings.some((reading) => reading.id === chosenId) ?? false}
                onChoose={onChoose}
              />
            ))}
          </div>
        ))}
      </div>
      {missing.length > 0 ? (
        <p className="fine">{`Not read yet: ${missing.map((view) => viewInWords[view]).join(', ')}.`}</p>
      ) : null}
      <Textures lines={set.lines} views={set.views} />
    </section>
  )
}

const Coats = ({ coats }: { coats: number }) => (
  <span className="panel-side-coats">
    <Strokes coats={coats} />
    <span>{coats === 0 ? 'bare' : coats}</span>
  </span>
)

const upperFirst = (words: string) => words.charAt(0).toUpperCase() + words.slice(1)

/** Which light and stage: a choice where there are several. */
function Which({ sets, shown, onShow }: { sets: ViewSet[]; shown: ViewSet; onShow: (key: string) => void }) {
  const lights = useStore((s) => s.lights)
  const name = ({ lightId, stage }: ViewSet) =>
    `${lights.find((light) => light.id === lightId)?.name ?? 'light not named'}, ${stageInWords[stage]}`
  if (sets.length === 1) return <p className="fine">{upperFirst(name(shown))}</p>
  return (
    <select
      className="select"
      aria-label="Views side by side: light and stage"
      value={shown.key}
      onChange={(event) => onShow(event.target.value)}
    >
      {sets.map((set) => (
        <option key={set.key} value={set.key}>
          {upperFirst(name(set))}
        </option>
      ))}
    </select>
  )
}

type SideProps = { cell: ViewCell | null; name: string; chosen: boolean; onChoose: Props['onChoose'] }

function Side({ cell, name, chosen, onChoose }: SideProps) {
  const settings = useStore((s) => s.settings)
  if (!cell) return <span className="panel-side is-empty">not read</span>
  const { row } = cell
  const words = [name, `± ${sayBound(row.combined.bound90, settings)}`, repeatedInWords(row)].filter(Boolean)
  return (
    <button
      type="button"
      className="panel-side"
      aria-label={`${words.join(', ')}: open its figures`}
      aria-pressed={chosen}
      onClick={() => onChoose(speaksFor(row).id)}
    >
      <Paint lab={row.combined.lab} label="" flat />
    </button>
  )
}

/** Texture by view, for the steps that have one. */
function Textures({ lines, views }: { lines: ViewLine[]; views: View[] }) {
  const settings = useStore((s) => s.settings)
  const shown = lines
    .map((line) => ({ ...line, textures: line.cells.map((cell) => (cell ? textureOf(cell.row) : null)) }))
    .filter(({ textures }) => textures.some(Boolean))
  if (shown.length === 0) return null
  return (
    <div className="panel-textures">
      <p className="fine">Texture of the flake, from the photos</p>
      {shown.map((line) => (
        <div key={line.stepId ?? ''} className="panel-texture-line">
          <Coats coats={line.coats} />
          {line.textures.map((texture, i) => (
            <span key={views[i]} className="panel-texture num">
              {texture ? textureInWords(texture, settings).map((words) => <span key={words}>{words}</span>) : '–'}
            </span>
          ))}
        </div>
      ))}
    </div>
  )
}
