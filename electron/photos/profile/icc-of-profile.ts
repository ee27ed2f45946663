import type { RgbProfile } from '../../../shared-core/colour/profile.ts'

const entries = 1024

/**
 * Writes an RGB matrix profile for the pictures that are made of a photo whose profile is known but not as ICC.
 * Source: ICC.1:2010 clauses 7 (header, tag table) and 10 (types); three component matrix profile, version 4.
 */
export function iccOfProfile({ name, decode, toXyzD50 }: RgbProfile): Uint8Array {
  const column = (c: number) => xyzTag(toXyzD50[c] ?? 0, toXyzD50[c + 3] ?? 0, toXyzD50[c + 6] ?? 0)
  const tags: [string, Buffer][] = [
    ['desc', textTag(name)],
    ['cprt', textTag('No copyright')],
    // media white of a display profile is the white of the connection space
    ['wtpt', xyzTag(...d50)],
    ['rXYZ', column(0)],
    ['gXYZ', column(1)],
    ['bXYZ', column(2)],
    ['rTRC', curveTag(decode[0])],
    ['gTRC', curveTag(decode[1])],
    ['bTRC', curveTag(decode[2])],
  ]
  const table = Buffer.alloc(4 + 12 * tags.length)
  table.writeUInt32BE(tags.length, 0)
  const bodies: Buffer[] = []
  let at = headerBytes + table.length
  tags.forEach(([signature, body], i) => {
    // the three curves are mostly one: it stands once
    const same = bodies.findIndex((other) => other.equals(body))
    const place = same < 0 ? at : headerBytes + table.length + sizeOf(bodies.slice(0, same))
    table.write(signature, 4 + 12 * i, 'latin1')
    table.writeUInt32BE(place, 8 + 12 * i)
    table.writeUInt32BE(body.length, 12 + 12 * i)
    if (same >= 0) return
    bodies.push(body)
    at += body.length
  })
  return Buffer.concat([header(at), table, ...bodies])
}

const headerBytes = 128
const d50 = [0.9642, 1, 0.8249] as const
const sizeOf = (parts: Buffer[]) => parts.reduce((sum, part) => sum + part.length, 0)

function header(size: number): Buffer {
  const bytes = Buffer.alloc(headerBytes)
  bytes.writeUInt32BE(size, 0)
  bytes.writeUInt32BE(0x04300000, 8)
  bytes.write('mntrRGB XYZ ', 12, 'latin1')
  // a date is asked for; a fixed one keeps the same photo's pictures the same
  ;[2024, 1, 1].forEach((part, i) => bytes.writeUInt16BE(part, 24 + 2 * i))
  bytes.write('acsp', 36, 'latin1')
  xyzTag(...d50).copy(bytes, 68, 8, 20)
  return bytes
}

function xyzTag(x: number, y: number, z: number): Buffer {
  const bytes = Buffer.alloc(20)
  bytes.write('XYZ ', 'latin1')
  ;[x, y, z].forEach((v, i) => bytes.writeInt32BE(Math.round(v * 65_536), 8 + 4 * i))
  return bytes
}

function curveTag(decode: (value: number) => number): Buffer {
  const bytes = Buffer.alloc(12 + 2 * entries)
  bytes.write('curv', 'latin1')
  bytes.writeUInt32BE(entries, 8)
  for (let i = 0; i < entries; i++) {
    const linear = Math.min(1, Math.max(0, decode(i / (entries - 1))))
    bytes.writeUInt16BE(Math.round(linear * 65_535), 12 + 2 * i)
  }
  return bytes
}

/** `mluc` with one record, English. */
function textTag(text: string): Buffer {
  const letters = Buffer.from(text, 'utf16le').swap16()
  const head = Buffer.alloc(28)
  head.write('mluc', 'latin1')
  head.writeUInt32BE(1, 8)
  head.writeUInt32BE(12, 12)
  head.write('enUS', 16, 'latin1')
  head.writeUInt32BE(letters.length, 20)
  head.writeUInt32BE(28, 24)
  return Buffer.concat([head, letters, Buffer.alloc((4 - ((28 + letters.length) % 4)) % 4)])
}
