/** Verbs of changes' labels ("add panel P-0042", as it reads on after "Undo") as they are told afterwards. */
const past: Readonly<Record<string, string>> = {
  add: 'added',
  attach: 'attached',
  bring: 'brought',
  calibrate: 'calibrated',
  change: 'changed',
  count: 'counted',
  detach: 'detached',
  discard: 'discarded',
  file: 'filed',
  fill: 'filled',
  give: 'gave',
  leave: 'left',
  mark: 'marked',
  mix: 'mixed',
  move: 'moved',
  pour: 'poured',
  put: 'put',
  read: 'read',
  remove: 'removed',
  rename: 'renamed',
  replace: 'replaced',
  restore: 'restored',
  retire: 'retired',
  save: 'saved',
  set: 'set',
  start: 'started',
  tag: 'tagged',
  take: 'took',
  throw: 'threw',
  untag: 'untagged',
  use: 'used',
  write: 'wrote',
}

/** "Added panel P-0042". What has no verb that is known here is told as it is. */
export function saidDone(label: string): string {
  const [verb = '', ...rest] = label.split(' ')
  const told = [past[verb] ?? verb, ...rest].join(' ')
  return told.charAt(0).toUpperCase() + told.slice(1)
}
