import { z } from 'zod'
import { command, query } from './call.ts'

export const PhoneAddress = z.object({
  address: z.string(),
  /** What the system calls the connection ("wlan0"). */
  connection: z.string(),
  /** Lies in the ranges of private networks; others may be reached from anywhere. */
  isPrivate: z.boolean(),
})
export type PhoneAddress = z.infer<typeof PhoneAddress>

/** A picture that a phone sent, newest first. */
export const PhonePicture = z.object({
  id: z.string(),
  name: z.string(),
  /** Which of the phones. */
  phone: z.string(),
  /** Null where it was refused, or is not known yet. */
  photoId: z.string().nullable(),
  /** Its thumbnail is `photo/HASH/thumb`. */
  sha256: z.string().nullable(),
  /** What its phone was told: "Good", "Too dark: …"; empty until it was looked at. */
  words: z.string(),
  isGood: z.boolean(),
})
export type PhonePicture = z.infer<typeof PhonePicture>

export const PhoneState = z.object({
  isOn: z.boolean(),
  address: PhoneAddress.nullable(),
  /** What the phone's camera reads from the screen; null while it is off or waits for a new code. */
  link: z.string().nullable(),
  /** Rows of the symbol of that link, one letter for each module. */
  symbol: z.array(z.string()),
  linkUntil: z.string().nullable(),
  closesAt: z.string().nullable(),
  phones: z.array(z.object({ id: z.string(), name: z.string(), since: z.string(), arrived: z.int(), coming: z.int() })),
  /** As many phones as there can be. */
  isFull: z.boolean(),
  pictures: z.array(PhonePicture),
  /** Why it closed by itself, or what somebody tried. */
  said: z.string().nullable(),
})
export type PhoneState = z.infer<typeof PhoneState>

/** Pictures sent by a phone of the same network. */
export const phoneCalls = {
  /** Where it could be reached, the likeliest first. */
  'phone.addresses': query({ input: z.object({}), output: z.object({ addresses: z.array(PhoneAddress) }), errors: [] }),
  'phone.state': query({ input: z.object({}), output: PhoneState, errors: [] }),
  'phone.turnOn': command({
    input: z.object({ address: z.string().max(64) }),
    output: PhoneState,
    errors: ['phone/address-gone', 'phone/cannot-listen'],
  }),
  'phone.turnOff': command({ input: z.object({}), output: PhoneState, errors: [] }),
  /** It stays open as if it had been turned on now. */
  'phone.keepOn': command({ input: z.object({}), output: PhoneState, errors: ['phone/off'] }),
  /** For another phone, or because the one before has run out; that is of no use any more. */
  'phone.newCode': command({ input: z.object({}), output: PhoneState, errors: ['phone/off'] }),
  'phone.disconnect': command({ input: z.object({ phoneId: z.string() }), output: PhoneState, errors: ['phone/off'] }),
}
