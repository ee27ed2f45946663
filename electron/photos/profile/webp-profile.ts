/**
 * Puts a colour profile into a WebP file without touching its numbers (sharp would convert them).
 * @param webp  a simple lossy or lossless file without alpha or animation, as sharp writes one from three channels
 * Source: WebP container specification, "Extended File Format" (VP8X, then ICCP, then the picture).
 */
export function tagWebp(webp: Uint8Array, icc: Uint8Array, width: number, height: number): Uint8Array {
  const picture = webp.subarray(12)
  const header = new Uint8Array(10)
  header[0] = 0x20
  write24(header, 4, width - 1)
  write24(header, 7, height - 1)
  const body = join([ascii('WEBP'), chunk('VP8X', header), chunk('ICCP', icc), picture])
  return join([ascii('RIFF'), size32(body.length), body])
}

function chunk(name: string, data: Uint8Array): Uint8Array {
  const padding = new Uint8Array(data.length % 2)
  return join([ascii(name), size32(data.length), data, padding])
}

const ascii = (text: string) => Uint8Array.from(text, (letter) => letter.charCodeAt(0))

function size32(value: number): Uint8Array {
  const bytes = new Uint8Array(4)
  new DataView(bytes.buffer).setUint32(0, value, true)
  return bytes
}

function write24(bytes: Uint8Array, at: number, value: number): void {
  bytes[at] = value & 255
  bytes[at + 1] = (value >> 8) & 255
  bytes[at + 2] = (value >> 16) & 255
}

function join(parts: Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0))
  let at = 0
  for (const part of parts) {
    whole.set(part, at)
    at += part.length
  }
  return whole
}
