import { useState } from 'react'
import type { LabelWording } from '../../../shared-core/records/label.ts'
import type { Printing } from '../../../shared-core/records/sheet.ts'
import { decimalSign, usesUsUnits } from '../../parts/say-numbers.ts'
import { useStore } from '../../state/store.ts'
import { keepSettings } from '../settings/keep-settings.ts'

export type PrintingChoices = {
  printing: Printing
  choose: (change: Partial<Printing>) => void
  /** Kept on this computer for the next time. */
  keep: () => void
}

/** What was chosen last, changed here and kept when something is printed or the sheet is closed. */
export function usePrinting(): PrintingChoices {
  const [printing, setPrinting] = useState(() => useStore.getState().settings.printing)
  return {
    printing,
    choose: (change) => setPrinting((before) => ({ ...before, ...change })),
    keep: () => {
      const kept = useStore.getState().settings.printing
      // a correction is kept by its own button
      const wanted = { ...printing, calibration: kept.calibration }
      if (JSON.stringify(wanted) !== JSON.stringify(kept)) void keepSettings({ printing: wanted })
    },
  }
}

/** Units and decimal sign as this page shows them. */
export function useWording(): LabelWording {
  const settings = useStore((s) => s.settings)
  return { decimal: decimalSign(settings), units: usesUsUnits(settings) ? 'us' : 'metric' }
}
