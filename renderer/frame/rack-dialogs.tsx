import { rackPlace } from '../state/rack-place.ts'
import { useStore } from '../state/store.ts'
import { CopyDialog } from './copy-dialog.tsx'
import { CautionsDialog } from './rack-cautions.tsx'

/** What the bar and the banner open. */
export function RackDialogs() {
  const shown = rackPlace((s) => s.shown)
  const isOpen = useStore((s) => s.rack !== null && s.rack !== undefined)
  if (!isOpen) return null
  if (shown === 'copy') return <CopyDialog />
  return shown === 'cautions' ? <CautionsDialog /> : null
}
