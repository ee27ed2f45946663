import { Refusal } from '../../../shared-core/contract/refusal.ts'

const unknown = (what: string, message: string) =>
  new Refusal(`film/unknown-${what}`, message, 'Choose one from the list; it may have been removed or renamed since.')

export const unknownGround = (id: string) => unknown('ground', `No sprayed panel of this rack has the ground “${id}”.`)
export const unknownCandy = () => unknown('candy', 'A candy of this formula is not in the rack (any more).')
export const unknownMidCoat = (id: string) =>
  unknown('mid-coat', `No sprayed panel of this rack has the mid coat “${id}”.`)
export const unknownGun = () => unknown('gun', 'No candy of this rack was sprayed with this gun set-up.')
export const knowsNothing = () =>
  new Refusal(
    'film/knows-nothing',
    'The rack has no candy panel with a reading yet, so there is nothing to work out from.',
    'Photograph a few panels of one candy over one ground, best in steps with a bare strip, and file them.',
  )
/** On the rack, but on no panel that was read. */
export const unread = (what: 'ground' | 'candy' | 'mid-coat', name: string) =>
  new Refusal(
    `film/unknown-${what}`,
    `No panel with ${name} has been read yet, so nothing is known of its colour.`,
    'Photograph a panel that has it, with a card, and file the photo.',
  )
