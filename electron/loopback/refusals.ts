import { RequestRefusal } from '../http/request-refusal.ts'

export const openAgain = 'Open Overground with the address that was printed when it was started.'

export const refusals = {
  noToken: () =>
    new RequestRefusal(403, 'host/no-token', 'This page does not belong to the Overground that is running.', openAgain),
  noSuchCall: () =>
    new RequestRefusal(404, 'host/no-such-call', 'This page asked for something unknown.', 'Reload the page.'),
  absent: () => new RequestRefusal(404, 'host/absent', 'There is nothing at this address.', openAgain),
  method: () => new RequestRefusal(405, 'host/method', 'This address cannot be asked that way.', 'Reload the page.'),
  tooManyPages: () =>
    new RequestRefusal(
      503,
      'host/too-many-pages',
      'Overground is open in very many tabs.',
      'Close those that are not needed, then reload this one.',
    ),
  notBuilt: () =>
    new RequestRefusal(
      503,
      'host/not-built',
      'The pages of Overground are not where they belong.',
      'Start Overground with “npm start”, which builds them. Your racks are safe: nothing was opened.',
    ),
  cannotWrite: (reason: string) =>
    new RequestRefusal(
      507,
      'host/cannot-write',
      `The file could not be written to Overground's own folder (${reason}).`,
      'Make room on that disk, then try once more.',
    ),
}

/** For somebody who has opened an address by hand. */
export const allSafe = 'Every panel, photo and job that was saved.'
