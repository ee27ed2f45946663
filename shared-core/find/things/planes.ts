import type { Pixels } from '../../capture/pixels.ts'

/** The channels of a picture made smaller, as numbers of 0 to 255; further ones may say something else of each pixel. */
export type Planes = {
  width: number
  height: number
  /** Picture pixels to one pixel of these planes. */
  scale: number
  channels: Float32Array[]
}

/**
 * Averages a picture down until its longer side is no more than `longest`; a smaller one keeps its size.
 * The file's own numbers are averaged: their steps are about equally visible, which is what edges are judged by.
 */
export function reduce(picture: Pixels, longest: number): Planes {
  const scale = Math.max(1, Math.max(picture.width, picture.height) / longest)
  const width = Math.max(1, Math.floor(picture.width / scale))
  const height = Math.max(1, Math.floor(picture.height / scale))
  const size = width * height
  const channels = [0, 1, 2].map(() => new Float32Array(size))
  const columns = Int32Array.from({ length: width + 1 }, (_, x) => Math.min(picture.width, Math.round(x * scale)))
  const unit = picture.bits === 16 ? 1 / 257 : 1
  for (let y = 0; y < height; y++) {
    const top = Math.min(picture.height - 1, Math.round(y * scale))
    const bottom = Math.max(top + 1, Math.min(picture.height, Math.round((y + 1) * scale)))
    reduceRow(picture, columns, top, bottom, unit, channels, y * width)
  }
  return { width, height, scale, channels }
}

/** By itself, because an engine makes a function fast that is called often. */
function reduceRow(
  picture: Pixels,
  columns: Int32Array,
  top: number,
  bottom: number,
  unit: number,
  channels: Float32Array[],
  into: number,
): void {
  const { data, width } = picture
  const [red, green, blue] = channels as [Float32Array, Float32Array, Float32Array]
  for (let x = 0; x + 1 < columns.length; x++) {
    const left = columns[x]!
    const right = columns[x + 1]!
    let r = 0
    let g = 0
    let b = 0
    for (let v = top; v < bottom; v++) {
      for (let at = (v * width + left) * 3, end = (v * width + right) * 3; at < end; at += 3) {
        r += data[at]!
        g += data[at + 1]!
        b += data[at + 2]!
      }
    }
    const by = unit / ((right - left) * (bottom - top))
    red[into + x] = r * by
    green[into + x] = g * by
    blue[into + x] = b * by
  }
}

/** The same planes, smoothed with 1 4 6 4 1 both ways: a standard deviation of one pixel. */
export function smooth(planes: Planes): Planes {
  const { width, height } = planes
  const between = new Float32Array(width * height)
  return { ...planes, channels: planes.channels.map((channel) => smoothed(channel, width, height, between)) }
}

/**
 * The same at half the size and softer, with one channel more: how rough the picture is there. Grain that hides an edge at full
 * size is one even colour here, and where it begins is an edge of its own.
 * @param soft  the same planes, smoothed
 */
export function coarse(planes: Planes, soft: Planes): Planes {
  const { width, height } = planes
  const rough = new Float32Array(width * height)
  planes.channels.forEach((channel, c) => addRoughness(channel, soft.channels[c]!, rough))
  const half: Planes = {
    width: width >> 1,
    height: height >> 1,
    scale: 2 * planes.scale,
    channels: [...soft.channels, smoothed(rough, width, height)].map((channel) => halved(channel, width, height)),
  }
  return smooth(smooth(half))
}

/** Grain of metallics has a third of the contrast of the edges that it hides. */
const roughWeight = 1.5

function addRoughness(channel: Float32Array, soft: Float32Array, into: Float32Array): void {
  for (let i = 0; i < into.length; i++) into[i]! += roughWeight * Math.abs(channel[i]! - soft[i]!)
}

function halved(channel: Float32Array, width: number, height: number): Float32Array {
  const [wide, high] = [width >> 1, height >> 1]
  const half = new Float32Array(wide * high)
  for (let y = 0; y < high; y++)
    for (let x = 0, i = 2 * y * width; x < wide; x++, i += 2)
      half[y * wide + x] = (channel[i]! + channel[i + 1]! + channel[i + width]! + channel[i + width + 1]!) / 4
  return half
}

/** @param between  written over */
function smoothed(
  from: Float32Array,
  width: number,
  height: number,
  between = new Float32Array(from.length),
): Float32Array {
  const into = new Float32Array(from.length)
  for (let y = 0; y < height; y++) alongRow(from, between, y * width, width)
  const last = height - 1
  for (let y = 0; y < height; y++) {
    const rows = [y - 2, y - 1, y, y + 1, y + 2].map((v) => Math.min(last, Math.max(0, v)) * width)
    acrossRows(between, into, rows, y * width, width)
  }
  return into
}

function alongRow(from: Float32Array, into: Float32Array, start: number, width: number): void {
  const end = start + width - 1
  for (let x = start; x <= end; x++) {
    const a = from[x - 2 < start ? start : x - 2]!
    const b = from[x - 1 < start ? start : x - 1]!
    const d = from[x + 1 > end ? end : x + 1]!
    const e = from[x + 2 > end ? end : x + 2]!
    into[x] = (a + e + 4 * (b + d) + 6 * from[x]!) / 16
  }
}

function acrossRows(from: Float32Array, into: Float32Array, rows: number[], start: number, width: number): void {
  const [a, b, c, d, e] = rows as [number, number, number, number, number]
  for (let x = 0; x < width; x++)
    into[start + x] = (from[a + x]! + from[e + x]! + 4 * (from[b + x]! + from[d + x]!) + 6 * from[c + x]!) / 16
}

/** Bilinear number of one channel; places outside repeat the edge. */
export function valueAt(channel: Float32Array, width: number, height: number, x: number, y: number): number {
  const px = Math.min(width - 1, Math.max(0, x - 0.5))
  const py = Math.min(height - 1, Math.max(0, y - 0.5))
  const left = px | 0
  const top = py | 0
  const right = left + 1 < width ? left + 1 : left
  const below = top + 1 < height ? top + 1 : top
  const fx = px - left
  const fy = py - top
  const upper = channel[top * width + left]! * (1 - fx) + channel[top * width + right]! * fx
  const lower = channel[below * width + left]! * (1 - fx) + channel[below * width + right]! * fx
  return upper * (1 - fy) + lower * fy
}
