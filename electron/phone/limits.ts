const megabyte = 1024 ** 2
const minute = 60_000

/** So many at once, and so many a second from then on. */
export type Pace = { burst: number; perSecond: number }

/** What phones may do. Tests set smaller figures. */
export type PhoneLimits = {
  phones: number
  /** One picture: raw files of large sensors come near this. */
  fileBytes: number
  /** A file goes in pieces of this size. */
  pieceBytes: number
  /** All that one phone may send while it is connected. */
  sessionBytes: number
  sessionFiles: number
  /** Begun and not finished, of one phone. */
  halfFiles: number

  connections: number
  /** Of one address, so that one machine cannot keep the others out. */
  connectionsEach: number
  headBytes: number
  headMs: number
  lookEveryMs: number
  /** The longest wait for the next bytes of a body, and for all of it. */
  bodyIdleMs: number
  bodyMs: number
  jsonBytes: number

  /** Requests of one connection, of one phone, and of all that are no phone of ours together. */
  connectionPace: Pace
  phonePace: Pace
  strangersPace: Pace

  codeMs: number
  /** After so many wrong codes none is taken any more. */
  wrongCodes: number
  /** A wrong code is answered so much later, twice as late each time, up to `mostSlowMs`. */
  slowMs: number
  mostSlowMs: number

  /** It closes so long after the last sign of a phone, and so long after it was turned on or kept on, whatever happens. */
  quietMs: number
  mostMs: number
  /** How often it looks at clock and address; a look that is `sleptMs` late means that the computer slept. */
  watchEveryMs: number
  sleptMs: number
  /** How long a picture may wait to be kept by the rack before its phone is told to ask again. */
  keepingMs: number
}

export const usualLimits: PhoneLimits = {
  phones: 4,
  fileBytes: 80 * megabyte,
  pieceBytes: megabyte,
  sessionBytes: 8 * 1024 * megabyte,
  sessionFiles: 1000,
  halfFiles: 3,

  connections: 32,
  connectionsEach: 12,
  headBytes: 8192,
  headMs: 10_000,
  lookEveryMs: 2_000,
  bodyIdleMs: 10_000,
  bodyMs: 60_000,
  jsonBytes: 4096,

  // pieces of half a megabyte as fast as a good network carries them
  connectionPace: { burst: 120, perSecond: 120 },
  phonePace: { burst: 240, perSecond: 240 },
  strangersPace: { burst: 60, perSecond: 30 },

  codeMs: 3 * minute,
  wrongCodes: 20,
  slowMs: 100,
  mostSlowMs: 2_000,

  quietMs: 10 * minute,
  mostMs: 120 * minute,
  watchEveryMs: 2_000,
  sleptMs: 30_000,
  keepingMs: 30_000,
}
