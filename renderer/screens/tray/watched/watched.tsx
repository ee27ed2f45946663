import { watchFolder } from '../../../commands/tray/watch-folder.ts'
import { CommandButton } from '../../../parts/command-button.tsx'

/** Leads to the sheet of watched folders. */
export function Watched() {
  return <CommandButton command={watchFolder} />
}
