import type { Migration } from '../opening/migrate.ts'
import { firstRack } from './0001-first-rack.ts'
import { trustedColour } from './0002-trusted-colour.ts'
import { whatIsOnTheShelf } from './0003-what-is-on-the-shelf.ts'
import { atTheBench } from './0004-at-the-bench.ts'
import { tenThousandPanels } from './0005-ten-thousand-panels.ts'
import { nothingLost } from './0006-nothing-lost.ts'
import { nearlyWithoutHands } from './0007-nearly-without-hands.ts'

/** In order; the first leads to version 1. A released step is never edited: what it got wrong, a later one puts right. */
export const migrations: readonly Migration[] = [
  firstRack,
  trustedColour,
  whatIsOnTheShelf,
  atTheBench,
  tenThousandPanels,
  nothingLost,
  nearlyWithoutHands,
]
