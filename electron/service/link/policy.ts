import { hostOnly } from '../../../shared-core/contract/app-calls.ts'
import { calls } from '../../../shared-core/contract/calls.ts'

/**
 * The content security policy of every page. Styles come from files only: React sets a `style` attribute through the
 * document's own interface, which a policy allows.
 * @param pictures where pictures come from: the page's own address, or a scheme of their own
 */
export const pagePolicy = (pictures: "'self'" | 'picture:') =>
  [
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    `img-src ${[...new Set(["'self'", pictures])].join(' ')} blob:`,
    "font-src 'self'",
    "connect-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
  ].join('; ')

/** For what is not a page: it may load nothing. */
export const filePolicy = "default-src 'none'; frame-ancestors 'none'"

/** What pages and what lies in them may not ask of the browser, whatever it would grant. */
export const permissionsPolicy = [
  'accelerometer',
  'autoplay',
  'browsing-topics',
  'camera',
  'display-capture',
  'geolocation',
  'gyroscope',
  'hid',
  'magnetometer',
  'microphone',
  'midi',
  'payment',
  'serial',
  'usb',
  'xr-spatial-tracking',
]
  .map((feature) => `${feature}=()`)
  .join(', ')

/** The largest call of a page: a hundred thousand ids. */
export const callBytes = 5 * 1024 ** 2

/** Whether a page may make this call; the rest is for hosts, or does not exist. */
export const mayCall = (name: unknown): name is string =>
  typeof name === 'string' && Object.hasOwn(calls, name) && !hostOnly.has(name)
