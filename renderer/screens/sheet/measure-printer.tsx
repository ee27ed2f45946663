import { useState } from 'react'
import { rulersOf } from '../../../shared-core/label/sheet/calibration-page.ts'
import { calibrationFrom, type Measured, wouldMeasure } from '../../../shared-core/label/sheet/placement.ts'
import {
  asDrawn,
  Calibration,
  type PaperSize,
  type Printable,
  type Printer,
} from '../../../shared-core/records/sheet.ts'
import { client } from '../../client/client.ts'
import { Caution } from '../../parts/caution.tsx'
import { NumberField } from '../../parts/number-field.tsx'
import { sayNumber } from '../../parts/say-numbers.ts'
import { useStore } from '../../state/store.ts'
import { keepSettings } from '../settings/keep-settings.ts'
import { Preview, usePreview } from './preview.tsx'

type Props = { printer: Printer; size: PaperSize; onBack: () => void }

/** A page to print and measure; what was measured puts right everything that this printer prints from then on. */
export function MeasurePrinter({ printer, size, onBack }: Props) {
  const settings = useStore((s) => s.settings)
  const say = useStore((s) => s.say)
  const warn = useStore((s) => s.warn)
  const kept = settings.printing.calibration[printer]
  const asked = rulersOf(size)
  const [measured, setMeasured] = useState<Measured>(() => wouldMeasure(kept, asked))
  const [busy, setBusy] = useState(false)
  const wanted = { kind: 'calibration', printer, size, corrected: false } satisfies Printable
  const { laidOut, error } = usePreview(wanted)
  const found = Calibration.safeParse(calibrationFrom(measured, asked))

  async function print(corrected: boolean) {
    setBusy(true)
    const trouble = await client().printLabels({ ...wanted, corrected })
    setBusy(false)
    if (trouble) warn(trouble)
  }
  async function keep(calibration: Calibration) {
    const { printing } = useStore.getState().settings
    await keepSettings({ printing: { ...printing, calibration: { ...printing.calibration, [printer]: calibration } } })
    say('Kept: from now on this printer is put right.', 'Print the page once more with correction to see it.')
  }
  const field = (label: string, key: keyof Measured) => (
    <NumberField
      label={`${label} (${asked[key]})`}
      value={Number(measured[key].toFixed(2))}
      min={0}
      max={450}
      digits={2}
      onValue={(value) => value !== null && setMeasured((before) => ({ ...before, [key]: value }))}
    />
  )
  return (
    <>
      <div className="print">
        <div className="print-choices scroll">
          <p>
            Print this page on the {printer === 'labels' ? 'label printer' : 'page printer'} as it is, at 100 %. Measure
            it with a steel rule and type in what you read, in millimetres. In brackets what a printer that is right
            would give.
          </p>
          <button type="button" className="btn" disabled={busy} onClick={() => void print(false)}>
            Print the page to measure
          </button>
          <div className="print-fields">
            {field('Ruler across', 'acrossMm')}
            {field('Ruler down', 'downMm')}
            {field('Left edge to ruler', 'leftMm')}
            {field('Top edge to ruler', 'topMm')}
          </div>
          {found.success ? (
            <p className="fine" role="status">
              {inWords(found.data, settings)}
            </p>
          ) : (
            <Caution
              message="No printer is as far off as that."
              remedy="Measure again, and look whether the page was fitted or turned while printing."
            />
          )}
          <button
            type="button"
            className="btn"
            disabled={busy || JSON.stringify(kept) === JSON.stringify(asDrawn)}
            onClick={() => void print(true)}
          >
            Print it with the kept correction
          </button>
          <button
            type="button"
            className="btn plain"
            onClick={() => {
              setMeasured(asked)
              void keep(asDrawn)
            }}
          >
            Correct nothing any more
          </button>
        </div>
        <Preview laidOut={laidOut} error={error} of="page" />
      </div>
      <div className="print-acts">
        <button
          type="button"
          className="btn main"
          disabled={!found.success}
          onClick={() => found.success && void keep(found.data)}
        >
          Keep what was measured
        </button>
        <button type="button" className="btn plain push" onClick={onBack}>
          Back to printing
        </button>
      </div>
    </>
  )
}

function inWords(calibration: Calibration, settings: Parameters<typeof sayNumber>[2]): string {
  const { scaleXPercent, scaleYPercent, offsetXMm, offsetYMm } = calibration
  const moved = (mm: number, on: string, back: string): string[] =>
    Math.abs(mm) < 0.05 ? [] : [`${sayNumber(Math.abs(mm), 1, settings)} mm too far ${mm < 0 ? back : on}`]
  const off = [...moved(offsetXMm, 'to the right', 'to the left'), ...moved(offsetYMm, 'down', 'up')]
  const lengths = `It prints lengths at ${sayNumber(scaleXPercent, 1, settings)} % across and ${sayNumber(scaleYPercent, 1, settings)} % down`
  return `${lengths}, ${off.length === 0 ? 'and everything in its place' : off.join(' and ')}.`
}
