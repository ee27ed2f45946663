import type { Handlers } from '../dispatch.ts'
import { appHandlers } from './app.ts'
import { cupHandlers } from './cups.ts'
import { customerJobHandlers } from './customer-jobs.ts'
import { exchangeHandlers } from './exchange.ts'
import { filmHandlers } from './film.ts'
import { knownSheetHandlers } from './known-sheets.ts'
import { mapHandlers } from './map.ts'
import { matchHandlers } from './match.ts'
import { panelHandlers } from './panels.ts'
import { panelsCsvHandlers } from './panels-csv.ts'
import { phoneHandlers } from './phone.ts'
import { photoHandlers } from './photos.ts'
import { planHandlers } from './plan.ts'
import { proposalHandlers } from './proposals.ts'
import { rackHandlers } from './rack.ts'
import { readingHandlers } from './readings.ts'
import { archiveHandlers } from './safety/archive.ts'
import { backupHandlers } from './safety/backup.ts'
import { checkHandlers } from './safety/check.ts'
import { historyHandlers } from './safety/history.ts'
import { setupHandlers } from './setups.ts'
import { sheetHandlers } from './sheets.ts'
import { shelfHandlers } from './shelf.ts'
import { sideHandlers } from './side.ts'
import { wallHandlers } from './wall.ts'
import { watchHandlers } from './watch.ts'

/** A handler for every call; the compiler complains when one is missing. */
export const handlers: Handlers = {
  ...appHandlers,
  ...rackHandlers,
  ...historyHandlers,
  ...backupHandlers,
  ...archiveHandlers,
  ...checkHandlers,
  ...panelHandlers,
  ...wallHandlers,
  ...photoHandlers,
  ...proposalHandlers,
  ...watchHandlers,
  ...phoneHandlers,
  ...knownSheetHandlers,
  ...readingHandlers,
  ...setupHandlers,
  ...mapHandlers,
  ...matchHandlers,
  ...sideHandlers,
  ...exchangeHandlers,
  ...panelsCsvHandlers,
  ...filmHandlers,
  ...planHandlers,
  ...sheetHandlers,
  ...shelfHandlers,
  ...cupHandlers,
  ...customerJobHandlers,
}
