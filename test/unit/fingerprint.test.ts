import { expect, test } from 'vitest'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import { bitsApart, fingerprintOf, isFingerprint, looksTheSame } from '../../shared-core/find/filing/fingerprint.ts'

/** A sheet of paper on a bench with a panel on it, as a camera in one place sees one after the other. */
function sight({ panel = [40, 120, 130], width = 320, height = 240, gain = 1, noise = 0, shift = 0 } = {}): Pixels {
  const data = new Uint8Array(width * height * 3)
  let state = 12345
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const [u, v] = [x / width + shift, y / height]
      const isPanel = u > 0.2 && u < 0.5 && v > 0.2 && v < 0.8
      const isPaper = u > 0.1 && u < 0.9 && v > 0.05 && v < 0.95
      const here = isPanel ? panel : isPaper ? [228, 228, 226] : [70 + 60 * u, 64, 60]
      for (let c = 0; c < 3; c++) {
        state = (Math.imul(state, 1664525) + 1013904223) >>> 0
        const grain = noise * ((state >>> 16) / 65536 - 0.5)
        data[(y * width + x) * 3 + c] = Math.max(0, Math.min(255, (here[c] ?? 0) * gain + grain))
      }
    }
  return { width, height, channels: 3, bits: 8, data }
}

const first = fingerprintOf(sight())

test('a copy looks the same: smaller, noisier, a little brighter, the next of a burst', () => {
  expect(isFingerprint(first)).toBe(true)
  for (const other of [{ width: 160, height: 120 }, { noise: 8 }, { gain: 1.008 }, { shift: 0.002 }]) {
    const print = fingerprintOf(sight(other))
    expect([other, looksTheSame(first, print)]).toEqual([other, true])
  }
})

test('another panel in the same place does not, however alike the rest is', () => {
  for (const panel of [
    [40, 120, 150],
    [70, 120, 130],
    [25, 100, 110],
  ]) {
    const print = fingerprintOf(sight({ panel }))
    expect(bitsApart(first, print)).toBeLessThanOrEqual(10)
    expect([panel, looksTheSame(first, print)]).toEqual([panel, false])
  }
})

test('bits are counted, and what is no fingerprint is like nothing', () => {
  expect(bitsApart('0000000000000000', 'ffffffffffffffff')).toBe(64)
  expect(bitsApart('000000000000000f', '0000000080000000')).toBe(5)
  expect(looksTheSame('', '')).toBe(false)
  expect(looksTheSame('x', first)).toBe(false)
})
