/**
 * The content security policy of every page. Styles come from files only: React sets a `style` attribute through the
 * document's own interface, which a policy allows.
 */
export const pagePolicy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' blob:",
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
