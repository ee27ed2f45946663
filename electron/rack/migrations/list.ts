import type { Migration } from '../migrate.ts'
import { firstRack } from './0001-first-rack.ts'
import { trustedColour } from './0002-trusted-colour.ts'

/** In order; the first leads to version 1. A released step is never edited: what it got wrong, a later one puts right. */
export const migrations: readonly Migration[] = [firstRack, trustedColour]
