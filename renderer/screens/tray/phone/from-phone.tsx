import { fromPhone } from '../../../commands/tray/from-phone.ts'
import { CommandButton } from '../../../parts/command-button.tsx'

/** Leads to the sheet with the code. */
export function FromPhone() {
  return <CommandButton command={fromPhone} />
}
