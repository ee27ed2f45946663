import './sheet.css'
import { useState } from 'react'
import { labelSizes } from '../../../shared-core/label/layout.ts'
import type { CupLabel, Printable, Printer } from '../../../shared-core/records/sheet.ts'
import { Dialog } from '../../parts/dialog.tsx'
import { NumberField } from '../../parts/number-field.tsx'
import { useStore } from '../../state/store.ts'
import { ChooseGrid } from './choose-grid.tsx'
import { ChooseSize, labelLimits } from './choose-size.tsx'
import { MeasurePrinter } from './measure-printer.tsx'
import { PrintFrame } from './print-frame.tsx'
import { Ticks } from './ticks.tsx'
import { usePrinting, useWording } from './use-printing.ts'

type Props = {
  cup: CupLabel
  /** What hardens has a pot life: it is typed here when the cup does not say it yet. */
  hardens: boolean
  onClose: () => void
}

/** The label of one cup, on a roll or on a sheet that is partly used. */
export function CupLabelDialog({ cup, hardens, onClose }: Props) {
  const { printing, choose, keep } = usePrinting()
  const [on, setOn] = useState<'roll' | 'grid'>('roll')
  const [start, setStart] = useState(1)
  const [copies, setCopies] = useState(1)
  const [potLifeMin, setPotLifeMin] = useState(cup.potLifeMin)
  const [measuring, setMeasuring] = useState<Printer | null>(null)
  const wording = useWording()
  const clock = useStore((s) => clockOf(s.settings.clock))
  const close = () => {
    keep()
    onClose()
  }
  if (measuring)
    return (
      <Dialog title="Measure the printer" onClose={close}>
        <MeasurePrinter
          printer={measuring}
          size={measuring === 'labels' ? printing.labelSize : printing.grid.paper}
          onBack={() => setMeasuring(null)}
        />
      </Dialog>
    )
  const wanted: Printable = {
    kind: 'cups',
    cups: [{ ...cup, potLifeMin }],
    stock: on === 'roll' ? { on, size: printing.labelSize } : { on, grid: printing.grid, start },
    copies,
    shows: printing.shows.cup,
    wording,
    clock,
  }
  return (
    <Dialog title={`Print the cup label of ${cup.code}`} onClose={close}>
      <PrintFrame
        wanted={wanted}
        of={on === 'roll' ? 'label' : 'page'}
        onPrint={keep}
        onMeasure={setMeasuring}
        onClose={close}
      >
        <div className="print-pair" role="group" aria-label="What it is printed on">
          <button type="button" aria-pressed={on === 'roll'} onClick={() => setOn('roll')}>
            Label
          </button>
          <button type="button" aria-pressed={on === 'grid'} onClick={() => setOn('grid')}>
            Sheet of labels
          </button>
        </div>
        {on === 'roll' ? (
          <ChooseSize
            of="label"
            offered={labelSizes}
            size={printing.labelSize}
            limits={labelLimits}
            onSize={(labelSize) => choose({ labelSize })}
          />
        ) : (
          <ChooseGrid grid={printing.grid} start={start} onGrid={(grid) => choose({ grid })} onStart={setStart} />
        )}
        <div className="print-fields">
          {hardens ? (
            <NumberField
              label="Pot life, minutes"
              value={potLifeMin}
              min={1}
              max={100_000}
              digits={0}
              onValue={setPotLifeMin}
            />
          ) : null}
          <NumberField
            label="Copies"
            value={copies}
            min={1}
            max={99}
            digits={0}
            onValue={(value) => value !== null && setCopies(Math.round(value))}
          />
        </div>
        <Ticks
          offered={['title', 'formula', 'date', 'qr', 'cautions']}
          called={{ title: 'Job or panel', date: 'Times and name' }}
          ticked={printing.shows.cup}
          onTick={(ticked) => choose({ shows: { ...printing.shows, cup: ticked } })}
        />
      </PrintFrame>
    </Dialog>
  )
}

/** The user's clock; what is left to the system is asked of it. */
function clockOf(setting: 'system' | '12' | '24'): '12' | '24' {
  if (setting !== 'system') return setting
  const { hour12 } = new Intl.DateTimeFormat(undefined, { hour: 'numeric' }).resolvedOptions()
  return hour12 ? '12' : '24'
}
