import { randomBytes, randomUUID } from 'node:crypto'
import { isSame } from '../http/own-address.ts'
import type { PhoneLimits } from './limits.ts'
import { makePace } from './pace.ts'
import { refusals } from './refusals.ts'

/** 256 bits. */
const newSecret = () => randomBytes(32).toString('base64url')

export type PairedPhone = {
  readonly id: string
  readonly name: string
  readonly since: string
  readonly secret: string
  readonly mayAsk: () => boolean
}

type Limits = Pick<PhoneLimits, 'phones' | 'codeMs' | 'wrongCodes' | 'slowMs' | 'mostSlowMs' | 'phonePace'>

/** The code on the screen, and the phones that came with one. */
export function makePairing(limits: Limits, now: () => number = Date.now) {
  let code: { token: string; until: number } | null = null
  let wrong = 0
  let isClosed = false
  let phones: PairedPhone[] = []
  let named = 0

  /** None while there are as many phones as may be. */
  const renew = () => {
    wrong = 0
    isClosed = false
    code = phones.length < limits.phones ? { token: newSecret(), until: now() + limits.codeMs } : null
  }
  renew()

  return {
    renew,
    code: () => (code && now() < code.until ? { token: code.token, until: new Date(code.until).toISOString() } : null),
    isClosed: () => isClosed,
    phones: (): readonly PairedPhone[] => phones,
    /** How long whoever comes with a code waits for its answer: the longer, the more wrong ones there were. */
    delayMs: () => (wrong === 0 ? 0 : Math.min(limits.mostSlowMs, limits.slowMs * 2 ** (wrong - 1))),
    /**
     * The first that presents a code has it.
     * @param kind  "Phone", or what else its browser says it is
     * @throws RequestRefusal
     */
    pair(token: unknown, kind: string): PairedPhone {
      if (isClosed) throw refusals.pairingClosed()
      if (!code || now() >= code.until || !isSame(token, code.token)) {
        wrong++
        if (wrong >= limits.wrongCodes) {
          isClosed = true
          code = null
        }
        throw refusals.wrongCode()
      }
      if (phones.length >= limits.phones) throw refusals.tooManyPhones(limits.phones)
      code = null
      const phone: PairedPhone = {
        id: randomUUID(),
        name: `${kind} ${++named}`,
        since: new Date(now()).toISOString(),
        secret: newSecret(),
        mayAsk: makePace(limits.phonePace),
      }
      phones = [...phones, phone]
      return phone
    },
    /** @throws RequestRefusal for whoever is no phone of ours */
    phoneOf(secret: unknown): PairedPhone {
      // each is compared, so that time does not tell which
      const found = phones.filter((phone) => isSame(secret, phone.secret))
      if (!found[0]) throw refusals.stranger()
      return found[0]
    },
    remove(id: string): void {
      phones = phones.filter((phone) => phone.id !== id)
    },
  }
}
export type Pairing = ReturnType<typeof makePairing>
