import type { Desk } from '../../screens/tray/desk-state.ts'
import { isChartAlone, wantsLook, wantsPanelOnly } from '../../screens/tray/proposing/found.ts'
import type { Command } from '../command.ts'
import { filePhoto } from './file-photo.ts'
import { findPanel } from './find-panel.ts'
import { keepAsSetup } from './keep-as-setup.ts'
import { acceptProposal } from './mark.ts'

/** What Enter does, and the main button: the step that leads on from here. */
export function goesOnWith(desk: Desk): Command {
  if (wantsPanelOnly(desk)) return findPanel
  if (isChartAlone(desk)) return keepAsSetup
  return wantsLook(desk) ? acceptProposal : filePhoto
}
