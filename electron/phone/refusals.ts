import { RequestRefusal } from '../http/request-refusal.ts'

export const scanAgain = 'On the computer, open “From a phone” in the tray, then scan the code there.'

export const allSafe = 'Every picture that had arrived, and every picture on the phone.'

/** What a phone's page is told, and what whoever knocks without being one. */
export const refusals = {
  absent: () => new RequestRefusal(404, 'phone/absent', 'There is nothing at this address.', scanAgain),
  method: () => new RequestRefusal(405, 'phone/method', 'This address cannot be asked that way.', scanAgain),
  stranger: () => new RequestRefusal(401, 'phone/not-connected', 'This phone is no longer connected.', scanAgain),
  wrongCode: () => new RequestRefusal(403, 'phone/wrong-code', 'This code was used before, or has run out.', scanAgain),
  pairingClosed: () =>
    new RequestRefusal(
      403,
      'phone/pairing-closed',
      'Too many wrong codes came in, so that no phone can be connected for now.',
      'Press “Show a new code” on the computer, then scan that.',
    ),
  tooManyPhones: (most: number) =>
    new RequestRefusal(
      403,
      'phone/too-many-phones',
      `${most} phones are connected, which is as many as there can be.`,
      'Disconnect one of them on the computer.',
    ),
  tooFast: () => new RequestRefusal(429, 'phone/too-fast', 'Too much was asked at once.', 'Wait a moment.'),
  unreadable: () =>
    new RequestRefusal(400, 'phone/not-understood', 'This page sent something unreadable.', 'Reload the page.'),
  tooLarge: (limit: number) =>
    new RequestRefusal(
      413,
      'phone/too-large',
      `This file is larger than ${Math.round(limit / 1024 ** 2)} MB.`,
      'Bring it to the computer by cable or card.',
    ),
  empty: () => new RequestRefusal(422, 'phone/empty', 'This file is empty.', 'Take the picture again.'),
  notAPicture: () =>
    new RequestRefusal(
      415,
      'phone/not-a-picture',
      'This file is no picture that can be read.',
      'Choose pictures only: JPEG, HEIC, DNG, TIFF, PNG, WebP or AVIF.',
    ),
  tooMuch: () =>
    new RequestRefusal(
      413,
      'phone/too-much',
      'This phone has sent as much as it may while it is connected.',
      'Scan a new code on the computer, then go on.',
    ),
  tooManyBegun: () =>
    new RequestRefusal(409, 'phone/too-many-begun', 'Several pictures are on their way already.', 'Wait a moment.'),
  unknownPicture: () =>
    new RequestRefusal(404, 'phone/unknown-picture', 'This picture was not announced.', 'It is sent once more.'),
  otherwhere: () =>
    new RequestRefusal(409, 'phone/other-place', 'The picture goes on at another place.', 'It goes on from there.'),
  damaged: () =>
    new RequestRefusal(409, 'phone/damaged', 'The picture was damaged on its way.', 'It is sent once more.'),
  notKeptYet: () =>
    new RequestRefusal(503, 'phone/not-kept-yet', 'The computer is busy.', 'The picture is asked about again.'),
  cannotWrite: (reason: string) =>
    new RequestRefusal(
      507,
      'phone/cannot-write',
      `The computer could not keep the picture (${reason}).`,
      'Make room on its disk, then press “Go on”.',
    ),
}
