import { qrRows } from '../../../../electron/print/qr.ts'
import { quadOf, type Rectangle } from '../../../../electron/service/demonstration/picture/geometry.ts'
import { type Random, randomFrom } from '../../../../electron/service/demonstration/random.ts'
import { apply3, invert3 } from '../../../../shared-core/colour/matrix.ts'
import { frameOf, headMarks } from '../../../../shared-core/label/head.ts'
import type { Quad } from '../../../../shared-core/records/area.ts'
import type { LabelMark } from '../../../../shared-core/records/label.ts'
import { castOf } from '../picture/cast.ts'
import { lightAt } from '../picture/fields.ts'
import { usualGlares } from '../picture/glares.ts'
import type { Shot, Thing } from '../picture/shot.ts'
import { exposureOf, lensOf } from '../picture/taking.ts'
import { pageRaster, textWidth } from '../picture/things/page-raster.ts'
import { lieOf } from '../sheet/lie.ts'
import { fieldOver } from '../sheet/light.ts'
import { anyCamera, rawOf } from '../spectra/camera.ts'
import { anyLight } from '../spectra/lights.ts'
import { benchTop, paintOf, recipe } from '../spectra/paints.ts'
import { anyPrinter, type Printer } from '../spectra/printer.ts'

/** How a label of 20 mm carries its symbol: as our own label of that height does, or as large as it goes on a square one. */
export type LabelKind = 'beside text' | 'alone'
export type LabelPhoto = { shot: Shot; labels: { kind: LabelKind; code: string; modulePx: number }[] }

const [width, height] = [4000, 3000]
const labelMm = 20
const tiltDegrees = 40

/** A photo of 12 megapixels, leaned by 40°, with a panel in the middle and labels stuck near two corners. */
export async function planLabels(seed: string): Promise<LabelPhoto> {
  const random = randomFrom(seed)
  const light = anyLight(random)
  const camera = anyCamera(random, light)
  const printer = anyPrinter(random)
  const scene = { widthMm: 297 * random.between(0.95, 1.1), heightMm: 210 }
  const lie = lieOf(
    random,
    { width, height, paper: scene, leastTiltDegrees: tiltDegrees, mostTiltDegrees: tiltDegrees },
    null,
  )
  const toBench = invert3(lie.toPhoto)
  const paint = paintOf(recipe(random))
  const field = fieldOver(random, { ...lie.sheetOn, ...scene })
  const panelOn: Rectangle = { ...lie.sheetOn, widthMm: 150, heightMm: 100, turn: random.between(-0.2, 0.2) }
  const panel: Thing = { what: 'panel', on: panelOn, paint, glares: usualGlares(random, panelOn, paint), haze: 0 }
  const things: Thing[] = [castOf(random, panelOn, field, 1.5), panel]
  const labels: LabelPhoto['labels'] = []
  const corners = random.pick([
    [0, 2],
    [1, 3],
  ])
  for (const [n, corner] of corners.entries()) {
    const kind: LabelKind = n === 0 ? 'beside text' : 'alone'
    const code = `P-${String(random.whole(1, 9999)).padStart(4, '0')}`
    const { marks, size, moduleMm } = await labelOf(kind, code)
    const on = nearCorner(random, corner, size, lie.toPhoto, toBench)
    things.push(labelThing(on, marks, size, printer))
    labels.push({ kind, code, modulePx: moduleMm * leastScale(quadOf(lie.toPhoto, on), size) })
  }
  const brightest = Math.max(...things.map(({ on }) => lightAt(field, on.xMm, on.yMm)))
  const exposure = exposureOf(random, { camera, trouble: null, brightest })
  return { shot: shotOf(random, { seed, ...lie, toBench, camera, light, field, things, exposure }), labels }
}

/** Pixels to the millimetre along the way in which a label is foreshortened most. */
function leastScale(quad: Quad, { widthMm, heightMm }: { widthMm: number; heightMm: number }): number {
  const [[ax, ay], [bx, by], , [dx, dy]] = quad
  const right = [(bx - ax) / widthMm, (by - ay) / widthMm] as const
  const down = [(dx - ax) / heightMm, (dy - ay) / heightMm] as const
  // The smaller singular value of the two.
  const sum = right[0] ** 2 + right[1] ** 2 + down[0] ** 2 + down[1] ** 2
  const area = Math.abs(right[0] * down[1] - right[1] * down[0])
  return Math.sqrt(Math.max(0, (sum - Math.sqrt(Math.max(0, sum * sum - 4 * area * area))) / 2))
}

/** As far out as the whole label is still in the picture: its middle 7 to 16 % in from the corner's two borders. */
function nearCorner(
  random: Random,
  corner: number,
  size: { widthMm: number; heightMm: number },
  toPhoto: Shot['toPhoto'],
  toBench: Shot['toBench'],
): Rectangle {
  for (;;) {
    const [inX, inY] = [random.between(0.05, 0.16) * width, random.between(0.05, 0.18) * height]
    const [px, py] = [corner === 0 || corner === 3 ? inX : width - inX, corner < 2 ? inY : height - inY]
    const [x, y, w] = apply3(toBench, [px, py, 1])
    const turn = random.between(-0.5, 0.5) + random.pick([0, 1, 2, 3]) * (Math.PI / 2)
    const on: Rectangle = { xMm: x / w, yMm: y / w, turn, ...size }
    if (quadOf(toPhoto, on).every(([cx, cy]) => cx > 10 && cy > 10 && cx < width - 10 && cy < height - 10)) return on
  }
}

type Given = Pick<
  Shot,
  'seed' | 'toPhoto' | 'toBench' | 'pixelsPerMm' | 'camera' | 'light' | 'field' | 'things' | 'exposure'
>

const shotOf = (
  random: Random,
  { seed, toPhoto, toBench, pixelsPerMm, camera, light, field, things, exposure }: Given,
): Shot => ({
  seed,
  width,
  height,
  toPhoto,
  toBench,
  pixelsPerMm,
  camera,
  light,
  field,
  things,
  exposure,
  second: null,
  bench: benchTop(random),
  benchGrain: random.between(0, 0.06),
  shadows: [],
  specks: [],
  balance: [1, 1, 1],
  balanceLast: false,
  white: rawOf(camera.sensor, light, null),
  ...lensOf(random, null),
  // A hand that is nearly steady: up to a pixel and a half, one standard deviation.
  blur: random.chance(0.5) ? random.between(0.3, 0.95) : 1,
})

function labelThing(
  on: Rectangle,
  marks: LabelMark[],
  size: { widthMm: number; heightMm: number },
  printer: Printer,
): Thing {
  const raster = pageRaster({ size, marks }, 48)
  return {
    what: 'page',
    on,
    raster,
    reflectances: raster.hexes.map(printer.inkOf),
    grain: printer.grain,
    glares: [],
    bend: null,
  }
}

async function labelOf(kind: LabelKind, code: string) {
  const rows = await qrRows(code)
  if (kind === 'alone') {
    const moduleMm = labelMm / (rows.length + 8)
    const sideMm = moduleMm * rows.length
    const at = (labelMm - sideMm) / 2
    const marks: LabelMark[] = [{ kind: 'qr', xMm: at, yMm: at, sideMm, rows }]
    return { marks, size: { widthMm: labelMm, heightMm: labelMm }, moduleMm }
  }
  const size = { widthMm: 50, heightMm: labelMm }
  const frame = frameOf({ code, symbol: code }, size, textWidth, () => rows)
  const lines = [0, 1].map(
    (n): LabelMark => ({
      kind: 'text',
      xMm: 2,
      baselineMm: frame.topMm + 2.4 + 2.8 * n,
      sizeMm: 2.2,
      face: 'regular',
      text: 'gold, candy 4 : 1, four coats'.slice(n),
    }),
  )
  const marks = [...headMarks(frame, code, 1, 1, ''), ...lines]
  return { marks, size, moduleMm: frame.qr!.sideMm / rows.length }
}
