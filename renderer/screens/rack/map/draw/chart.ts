import { rimWords } from '../geometry/hue-words.ts'
import { type Frame, toSpot } from '../geometry/projection.ts'

type Ink = CanvasRenderingContext2D
const degree = Math.PI / 180
const ink = '#000000'
export const ground = '#777777'
/** Where chroma is written along its rings: between blue-green and sky, where little is sprayed. */
const figuresAt = 230

const font = (weight: number, size: number): string => `${weight} ${size}px "Archivo Variable", system-ui, sans-serif`

/** Below the marks: the neutral ground, rings of chroma, and a cross at neutral. */
export function drawRings(context: Ink, frame: Frame, reach: number): void {
  context.fillStyle = ground
  context.fillRect(0, 0, frame.width, frame.height)
  context.strokeStyle = ink
  context.lineWidth = 1
  const { x, y } = toSpot(frame, 0, 0)
  for (const chroma of ringsOf(frame, reach)) {
    const isRim = chroma === reach
    context.setLineDash(isRim ? [] : [1, 5])
    context.beginPath()
    context.arc(x, y, chroma * frame.scale, 0, 2 * Math.PI)
    context.stroke()
  }
  context.setLineDash([])
  context.beginPath()
  context.moveTo(x - 9, y)
  context.lineTo(x + 9, y)
  context.moveTo(x, y - 9)
  context.lineTo(x, y + 9)
  context.stroke()
}

/** Rings at every 20 of C*, closer at every 10 or 5, and the rim. */
function ringsOf({ scale }: Frame, reach: number): number[] {
  const every = scale * 5 > 90 ? 5 : scale * 10 > 90 ? 10 : 20
  const rings: number[] = []
  for (let chroma = every; chroma < reach; chroma += every) rings.push(chroma)
  return [...rings, reach]
}

/** Above the marks: what the rings say, and hue in painters' words around the rim, or along the room's edge when closer. */
export function drawWords(context: Ink, frame: Frame, reach: number): void {
  context.textBaseline = 'middle'
  context.textAlign = 'center'
  context.font = font(500, 13)
  for (const chroma of ringsOf(frame, reach)) {
    if (chroma === reach) continue
    const angle = figuresAt * degree
    const { x, y } = toSpot(frame, chroma * Math.cos(angle), chroma * Math.sin(angle))
    plate(context, String(chroma), x, y, 4)
  }
  context.font = font(600, 15)
  for (const { angle, word } of rimWords) {
    const spot = wordSpot(frame, reach, angle * degree)
    if (!spot) continue
    context.textAlign = spot.align
    plate(context, word, spot.x, spot.y, 3)
  }
}

/** Words stand on the ground itself, so that marks under them do not take their contrast. */
function plate(context: Ink, text: string, x: number, y: number, air: number): void {
  const { width } = context.measureText(text)
  const left = context.textAlign === 'left' ? x : context.textAlign === 'right' ? x - width : x - width / 2
  context.fillStyle = ground
  context.fillRect(left - air, y - 9, width + 2 * air, 18)
  context.fillStyle = ink
  context.fillText(text, x, y)
}

type WordSpot = { x: number; y: number; align: CanvasTextAlign }

/** Beside the rim where that is in sight, else where the ray from neutral leaves the room; null where it never enters it. */
export function wordSpot(frame: Frame, reach: number, angle: number): WordSpot | null {
  const [dx, dy] = [Math.cos(angle), -Math.sin(angle)]
  const { x: x0, y: y0 } = toSpot(frame, 0, 0)
  const inset = { x: 44, top: 16, bottom: 16 }
  const far = Math.min(
    dx > 0 ? (frame.width - inset.x - x0) / dx : dx < 0 ? (inset.x - x0) / dx : Number.POSITIVE_INFINITY,
    dy > 0 ? (frame.height - inset.bottom - y0) / dy : dy < 0 ? (inset.top - y0) / dy : Number.POSITIVE_INFINITY,
  )
  const rim = reach * frame.scale + 10
  const isRim = rim + 60 * Math.abs(dx) <= far + 8 || rim <= far
  const out = Math.min(rim, far)
  if (out < 40) return null
  const [x, y] = [x0 + dx * out, y0 + dy * out]
  const isIn = x >= 0 && x <= frame.width && y >= 0 && y <= frame.height
  if (!isIn) return null
  if (!isRim) return { x, y, align: 'center' }
  const align = dx > 0.3 ? 'left' : dx < -0.3 ? 'right' : 'center'
  return { x, y: y + (align === 'center' ? 6 * Math.sign(dy) : 0), align }
}
