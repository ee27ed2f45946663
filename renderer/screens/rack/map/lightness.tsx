import { useEffect, useMemo, useRef } from 'react'
import type { ScreenSpace } from '../../../../shared-core/records/side.ts'
import { drawMarks } from './draw/marks.ts'
import { canvasSpace, inPixels } from './draw/painter.ts'
import { fitted, frameOf } from './geometry/projection.ts'
import { greyPixel, type MapSteps, type Slice, sliceMiddles, sliceRun } from './geometry/steps.ts'
import { setSlice } from './map-acts.ts'
import { useMap } from './map-state.ts'
import { sliceInWords } from './step-words.ts'

const side = 56
const slices: readonly Slice[] = [{ middle: null }, ...sliceMiddles.map((middle) => ({ middle }))]

type Props = { steps: MapSteps; reach: number; space: ScreenSpace; chosen: Uint8Array; dpr: number }

/** Which lightness is looked at: slices side by side, lightest first, and a slider for any between. */
export function Lightness({ steps, reach, space, chosen, dpr }: Props) {
  const slice = useMap((s) => s.slice)
  return (
    <section className="block map-lightness" aria-label="Lightness">
      <h2>Lightness</h2>
      <div className="map-slices">
        {slices.map((one) => (
          <button
            key={String(one.middle)}
            type="button"
            aria-pressed={slice.middle === one.middle}
            aria-label={one.middle === null ? 'All lightness' : `Lightness ${sliceInWords(one, ' to ')}`}
            onClick={() => setSlice(one)}
          >
            <SmallMap steps={steps} slice={one} reach={reach} space={space} chosen={chosen} dpr={dpr} />
            <span className="num">{sliceInWords(one)}</span>
          </button>
        ))}
      </div>
      <label className="map-rule">
        <span className="vh">Lightness of the slice</span>
        <input
          className="rule-input"
          type="range"
          min={0}
          max={100}
          step={1}
          value={slice.middle ?? 50}
          aria-valuetext={slice.middle === null ? 'all' : `lightness ${sliceInWords(slice, ' to ')}`}
          onChange={(event) => setSlice({ middle: event.target.valueAsNumber })}
        />
        <span className="map-marks num" aria-hidden="true">
          {[0, 20, 40, 60, 80, 100].map((l) => (
            <i key={l}>{l}</i>
          ))}
        </span>
      </label>
    </section>
  )
}

/** A slice at a glance; only paint, and frames of what is chosen. */
function SmallMap({ steps, slice, reach, space, chosen, dpr }: Props & { slice: Slice }) {
  const canvas = useRef<HTMLCanvasElement>(null)
  const run = useMemo(() => sliceRun(steps, slice), [steps, slice])
  useEffect(() => {
    const context = canvas.current?.getContext('2d', { colorSpace: canvasSpace(space) })
    if (!context) return
    const wide = Math.round(side * dpr)
    const picture = context.createImageData(wide, wide, { colorSpace: canvasSpace(space) })
    const data = new Uint32Array(picture.data.buffer)
    data.fill(greyPixel(0x77))
    const frame = frameOf(fitted, { width: side, height: side }, reach, { x: 2, y: 3 })
    const few = run[1] - run[0] < 400
    drawMarks({ data, width: wide, height: wide }, inPixels(frame, dpr), {
      steps,
      run,
      width: Math.round((few ? 3 : 2) * dpr),
      dpr,
      chosen,
      anyChosen: chosen.includes(1),
      strokes: false,
    })
    context.putImageData(picture, 0, 0)
  }, [steps, run, reach, space, chosen, dpr])
  const wide = Math.round(side * dpr)
  return <canvas ref={canvas} width={wide} height={wide} aria-hidden="true" />
}
