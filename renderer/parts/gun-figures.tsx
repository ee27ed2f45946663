import type { GunSetup } from '../../shared-core/records/panel.ts'
import { NumberField } from './number-field.tsx'
import { QuantityField } from './quantity-field.tsx'

type Props = { gun: GunSetup; onChange: (change: Partial<GunSetup>) => void }

/** What of a gun set-up is a figure; inlet and cap pressure are two things. */
export function GunFigures({ gun, onChange }: Props) {
  return (
    <>
      <QuantityField label="Tip" measure="tip" value={gun.tipMm} onValue={(tipMm) => onChange({ tipMm })} />
      <QuantityField
        label="Inlet, trigger pulled"
        measure="pressure"
        value={gun.inletKpa}
        onValue={(inletKpa) => onChange({ inletKpa })}
      />
      <QuantityField
        label="At the cap, if known"
        measure="pressure"
        value={gun.capKpa}
        onValue={(capKpa) => onChange({ capKpa })}
      />
      <QuantityField
        label="Distance"
        measure="distance"
        value={gun.distanceMm}
        onValue={(distanceMm) => onChange({ distanceMm })}
      />
      <NumberField
        label="Overlap in %"
        min={0}
        max={99}
        value={gun.overlapPercent}
        onValue={(overlapPercent) => onChange({ overlapPercent })}
      />
    </>
  )
}
