import type { Handlers } from '../dispatch.ts'

/** The door for phones that send pictures into the tray. */
export const phoneHandlers = {
  'phone.addresses': async (_, context) => ({ addresses: context.phone.addresses() }),
  'phone.state': async (_, context) => context.phone.state(),
  'phone.turnOn': async ({ address }, context) => context.phone.turnOn(context.rack(), address),
  'phone.turnOff': async (_, context) => context.phone.turnOff(),
  'phone.keepOn': async (_, context) => context.phone.ask('keep-on'),
  'phone.newCode': async (_, context) => context.phone.ask('new-code'),
  'phone.disconnect': async ({ phoneId }, context) => context.phone.ask({ disconnect: phoneId }),
} satisfies Partial<Handlers>
