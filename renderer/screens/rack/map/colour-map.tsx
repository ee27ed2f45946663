import './map.css'
import { useEffect, useEffectEvent, useId, useMemo, useState } from 'react'
import type { PanelFilter } from '../../../../shared-core/records/panel.ts'
import type { ScreenSpace } from '../../../../shared-core/records/side.ts'
import { Caution } from '../../../parts/caution.tsx'
import { useScreenSpace } from '../../../parts/gamut-word.ts'
import { useStore } from '../../../state/store.ts'
import { GapList } from './gap-list.tsx'
import { reachOf } from './geometry/projection.ts'
import { type MapSteps, panelsIn, sliceRun } from './geometry/steps.ts'
import { Lightness } from './lightness.tsx'
import { say } from './map-acts.ts'
import { mapOfRack, useMap } from './map-state.ts'
import { NoColour } from './no-colour.tsx'
import { Plot } from './plot.tsx'
import { PlotKeys, PlotTools } from './plot-tools.tsx'
import { countPanels, countSteps, gapInWords, sliceInWords } from './step-words.ts'
import { useColours } from './use-colours.ts'
import { useGaps } from './use-gaps.ts'
import { useDpr } from './use-stage.ts'

/** The rack laid out by colour: hue around, chroma out, a slice of lightness at a time. The same panels as on the wall. */
export function ColourMap({ filter }: { filter: PanelFilter }) {
  const folder = useStore((s) => s.rack?.folder ?? '')
  useEffect(() => mapOfRack(folder), [folder])
  const space = useScreenSpace()
  const { answer, error } = useColours(filter, space)
  if (error) return <Caution message={error.message} remedy={error.remedy} />
  if (!answer) return <div className="map" aria-busy="true" />
  const { steps, panelCount } = answer
  if (steps.count === 0) return <NoColour panelCount={panelCount} />
  return <ShownMap steps={steps} space={space} panelCount={panelCount} />
}

type Props = { steps: MapSteps; space: ScreenSpace; panelCount: number }

function ShownMap({ steps, space, panelCount }: Props) {
  const slice = useMap((s) => s.slice)
  const chosen = useStore((s) => s.chosen)
  const dpr = useDpr()
  const helpId = useId()
  const [keysShown, setKeysShown] = useState(false)
  const reach = useMemo(() => reachOf(steps), [steps])
  const run = useMemo(() => sliceRun(steps, slice), [steps, slice])
  const flags = useMemo(() => {
    const ids = new Set(chosen)
    return Uint8Array.from(steps.panelIds, (id) => (ids.has(id) ? 1 : 0))
  }, [steps, chosen])
  useGaps(steps, slice)
  useTold(steps, run)
  const colourless = panelCount - steps.panelIds.length
  return (
    <div className="map">
      <div className="map-left">
        <PlotTools keysShown={keysShown} onKeys={() => setKeysShown(!keysShown)} />
        <div className="map-room">
          <Plot steps={steps} run={run} reach={reach} space={space} helpId={helpId} />
          <PlotKeys id={helpId} shown={keysShown} />
        </div>
        <p className="map-quiet well">
          {`${countSteps(run[1] - run[0])} of ${countPanels(panelsIn(steps, run))}${slice.middle === null ? '' : ' in this slice'}. `}
          {colourless > 0 ? `${countPanels(colourless)} without a colour yet. ` : ''}
          Screen preview. {slice.middle === null ? '' : 'Strokes: lighter or darker. '}Cut corner: beyond this screen.
        </p>
      </div>
      <aside className="map-side scroll">
        <Lightness steps={steps} reach={reach} space={space} chosen={flags} dpr={dpr} />
        <GapList steps={steps} />
      </aside>
      <Told />
    </div>
  )
}

/** Says what a slice holds once its gaps are known, and a gap when it is looked at. */
function useTold(steps: MapSteps, run: readonly [number, number]): void {
  const [slice, gaps, gapAt] = [useMap((s) => s.slice), useMap((s) => s.gaps), useMap((s) => s.gapAt)]
  const settings = useStore((s) => s.settings)
  const tell = useEffectEvent(() => {
    if (!gaps) return
    const gap = gapAt === null ? undefined : gaps[gapAt]
    if (gap) {
      const codes = gap.sides.map((row) => steps.codes[steps.panel[row]!]).join(' and ')
      say(`Gap ${gapAt! + 1} of ${gaps.length}. ${gapInWords(gap, settings)}, between ${codes}.`)
      return
    }
    const found = gaps.length === 1 ? '1 gap' : `${gaps.length} gaps`
    const count = `${countSteps(run[1] - run[0])} of ${countPanels(panelsIn(steps, [run[0], run[1]]))}`
    say(`Lightness ${sliceInWords(slice, ' to ')}: ${count}, ${found}.`)
  })
  useEffect(() => tell(), [gaps, gapAt])
}

function Told() {
  const said = useMap((s) => s.said)
  return (
    <p className="vh" role="status">
      {said}
    </p>
  )
}
