import type { Failure } from '../../shared-core/contract/calls.ts'
import type { PhoneLimits } from './limits.ts'

/** What the thread is started with. */
export type PhoneStart = {
  address: string
  /** Taken when it is free, so that a phone's page that is still open finds its door again; else any. */
  port: number
  /** Where files wait to be taken in. */
  staging: string
  limits: PhoneLimits
}

/** What became of a picture, for the phone that sent it: nothing of the rack is in it. */
export type Fate = {
  /** `looked-at`: nothing more will be said. */
  state: 'kept' | 'looked-at' | 'refused'
  /** In a few words; empty while nothing is known. */
  words: string
  isGood: boolean
}

/** A picture that lies whole on the drive. */
export type Finished = { key: string; phone: string; path: string; name: string; panel: string; light: string }

export type PhoneSeen = { id: string; name: string; since: string; arrived: number; coming: number }

/** The door as the desk shows it. */
export type DoorState = {
  code: { token: string; until: string } | null
  /** Too many wrong codes: none is taken until somebody at the desk wants a new one. */
  isPairingClosed: boolean
  phones: PhoneSeen[]
  closesAt: string
}

/** Why it closed. */
export type Ended = 'asked' | 'quiet' | 'long' | 'slept' | 'address-gone'

export type FromThread =
  | { told: 'listening'; port: number; state: DoorState }
  | { told: 'cannot-listen'; code: string }
  /** `nr` of what was asked, where it is the answer to it. */
  | { told: 'state'; state: DoorState; nr: number | null }
  | { told: 'finished'; file: Finished }
  | { told: 'ended'; why: Ended }
  | { told: 'trouble'; during: string; text: string }

export type ToThread =
  | { ask: 'new-code' | 'keep-on'; nr: number }
  | { ask: 'disconnect'; phoneId: string; nr: number }
  | { ask: 'close' }
  /** The answer to `finished`: whether the rack will have it, whatever happens to this program. */
  | { ask: 'kept'; key: string; failure: Failure | null }
  | { ask: 'fate'; key: string; fate: Fate }
