import { textures, tileMask } from '../../../../electron/service/demonstration/picture/textures.ts'
import { randomFrom } from '../../../../electron/service/demonstration/random.ts'
import type { Tone } from '../spectra/tone.ts'
import type { Shot } from './shot.ts'

/** Linear light to encoded numbers, looked up by the square root of the light. */
const steps = 4096
function toneTable(tone: Tone): Float32Array {
  return Float32Array.from({ length: steps + 1 }, (_, i) => tone.curve(tone.headroom * (i / steps) ** 2))
}

/** Lens, sensor, matrix, tone: balanced raw light to the numbers of the file. Changes `raw`. */
export function develop(shot: Shot, raw: Float32Array): Uint8Array {
  addFlare(raw, shot.flare)
  if (shot.blur > 0) blur(raw, shot.width, shot.height, shot.blur)
  addNoise(shot, raw)
  return render(shot, raw)
}

/** Light scattered in the lens: an even veil in the colour of the whole picture. */
function addFlare(raw: Float32Array, flare: number): void {
  const mean = [0, 0, 0]
  let count = 0
  for (let i = 0; i + 2 < raw.length; i += 3 * 37, count++)
    for (let c = 0; c < 3; c++) mean[c]! += Math.min(3, raw[i + c]!)
  const veil = mean.map((sum) => (flare * sum) / count)
  for (let i = 0; i < raw.length; i += 3) for (let c = 0; c < 3; c++) raw[i + c]! += veil[c]!
}

/** A light touch is one pass of weighted neighbours; a real blur is three running means along each line. */
function blur(raw: Float32Array, width: number, height: number, radius: number): void {
  if (radius < 1) return touch(raw, width, height, radius)
  const line = new Float32Array(Math.max(width, height))
  const whole = Math.max(1, Math.round(radius))
  const filter = (start: number, stride: number, length: number) => {
    for (let n = 0; n < length; n++) line[n] = raw[start + n * stride]!
    const at = (n: number) => line[n < 0 ? 0 : n >= length ? length - 1 : n]!
    let sum = 0
    for (let n = -whole; n <= whole; n++) sum += at(n)
    for (let n = 0; n < length; n++) {
      raw[start + n * stride] = sum / (2 * whole + 1)
      sum += at(n + whole + 1) - at(n - whole)
    }
  }
  for (let pass = 0; pass < 3; pass++) {
    for (let y = 0; y < height; y++) for (let c = 0; c < 3; c++) filter(3 * y * width + c, 3, width)
    for (let x = 0; x < width; x++) for (let c = 0; c < 3; c++) filter(3 * x + c, 3 * width, height)
  }
}

/** Each value and its two neighbours, along rows and then along columns; line by line, as memory lies. */
function touch(raw: Float32Array, width: number, height: number, radius: number): void {
  const long = 3 * width
  const [own, beside] = [1 - radius, radius / 2]
  const above = new Float32Array(long)
  const here = new Float32Array(long)
  for (let y = 0; y < height; y++) {
    const start = y * long
    here.set(raw.subarray(start, start + long))
    for (let i = 0; i < long; i++)
      raw[start + i] = own * here[i]! + beside * (here[i < 3 ? i : i - 3]! + here[i + 3 < long ? i + 3 : i]!)
  }
  above.set(raw.subarray(0, long))
  for (let y = 0; y < height; y++) {
    const start = y * long
    const below = y + 1 < height ? start + long : start
    here.set(raw.subarray(start, start + long))
    for (let i = 0; i < long; i++) raw[start + i] = own * here[i]! + beside * (above[i]! + raw[below + i]!)
    above.set(here)
  }
}

/** Photons, reading, and what the camera's cleaning leaves of them: coarser, weaker noise. */
function addNoise(shot: Shot, raw: Float32Array): void {
  const { camera, width, height } = shot
  const { sensor, grain } = textures()
  const random = randomFrom(`${shot.seed}/sensor`)
  const offsets = [0, 1, 2].map(() => random.whole(0, tileMask * tileMask))
  const size = sensor.length - 1
  const [fine, coarse] = [1 - camera.cleaning, 0.45 * camera.cleaning]
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = 3 * (y * width + x)
      // Rows of the tile do not repeat at the photo's width: 997 is no divisor of its side.
      const n = x + y * 997
      for (let c = 0; c < 3; c++) {
        const light = raw[i + c]!
        const deviation = shot.noise * Math.sqrt(camera.shot * Math.max(0, light) + camera.read * camera.read)
        const at = (n + offsets[c]!) & size
        raw[i + c] = light + deviation * (fine * sensor[at]! + coarse * grain[at]!)
      }
    }
  }
}

function render(shot: Shot, raw: Float32Array): Uint8Array {
  const { camera, width, height } = shot
  const { tone } = camera
  const m = camera.matrix
  const [first, last] = shot.balanceLast ? [[1, 1, 1], shot.balance] : [shot.balance, [1, 1, 1]]
  const table = toneTable(tone)
  const { headroom, byLuminance, saturation, vividness } = tone
  const encode = (linear: number): number => {
    const t = linear <= 0 ? 0 : linear >= headroom ? 1 : linear / headroom
    const place = Math.sqrt(t) * steps
    const low = Math.min(steps - 1, place | 0)
    return table[low]! + (place - low) * (table[low + 1]! - table[low]!)
  }
  // Luminance of the space's own primaries: the middle row of its matrix.
  const [lr, lg, lb] = camera.profile.toXyzD50.slice(3, 6) as [number, number, number]
  const pixels = new Uint8Array(3 * width * height)
  for (let i = 0; i < pixels.length; i += 3) {
    // Full light of the sensor is white, whatever the balance.
    const r = Math.min(headroom, raw[i]! * first[0])
    const g = Math.min(headroom, raw[i + 1]! * first[1])
    const b = Math.min(headroom, raw[i + 2]! * first[2])
    let red = last[0] * (m[0] * r + m[1] * g + m[2] * b)
    let green = last[1] * (m[3] * r + m[4] * g + m[5] * b)
    let blue = last[2] * (m[6] * r + m[7] * g + m[8] * b)
    if (saturation !== 1) {
      const y = lr * red + lg * green + lb * blue
      red = y + saturation * (red - y)
      green = y + saturation * (green - y)
      blue = y + saturation * (blue - y)
    }
    let er = encode(red)
    let eg = encode(green)
    let eb = encode(blue)
    if (byLuminance > 0) {
      // Part of the curve keeps the ratios: the encoded luminance is spread over the channels by their plain encoding.
      const y = lr * red + lg * green + lb * blue
      if (y > 1e-4) {
        const gain = linearOfSrgb(encode(y)) / y
        er += byLuminance * (srgbOf(red * gain) - er)
        eg += byLuminance * (srgbOf(green * gain) - eg)
        eb += byLuminance * (srgbOf(blue * gain) - eb)
      }
    }
    if (vividness !== 1) {
      const grey = 0.3 * er + 0.6 * eg + 0.1 * eb
      er = grey + vividness * (er - grey)
      eg = grey + vividness * (eg - grey)
      eb = grey + vividness * (eb - grey)
    }
    pixels[i] = byteOf(er)
    pixels[i + 1] = byteOf(eg)
    pixels[i + 2] = byteOf(eb)
  }
  return pixels
}

const byteOf = (v: number): number => (v <= 0 ? 0 : v >= 1 ? 255 : (255 * v + 0.5) | 0)
const srgbOf = (x: number): number =>
  x <= 0 ? 0 : x >= 1 ? 1 : x <= 0.0031308 ? 12.92 * x : 1.055 * x ** (1 / 2.4) - 0.055
const linearOfSrgb = (v: number): number => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)
