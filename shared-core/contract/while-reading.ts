/**
 * Commands and jobs that may be asked while the open rack is only looked at, because they write nothing into it. All others are
 * refused with `rack/reading-only`, so that a new one is, too, until it is thought about.
 */
export const allowedWhileReading: ReadonlySet<string> = new Set([
  'jobs.cancel',
  'app.reportError',
  'service.startAgain',
  'settings.save',
  'pictures.giveUp',
  'rack.create',
  'rack.open',
  'rack.makeDemonstration',
  'rack.close',
  'rack.forgetRecent',
  'rack.takeOver',
  'rack.readAgain',
  'rack.copyHere',
  'rack.setKeptInSync',
  'sheets.drawIndex',
  // into another folder; one that is open for reading refuses by itself
  'backups.restore',
  'backups.restoreElsewhere',
  'check.repair',
  'archive.make',
  'archive.verify',
  'archive.unpack',
  'archive.forgetComparison',
])
