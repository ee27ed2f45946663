import type { ScreenSpace } from '../../../../../shared-core/records/side.ts'
import type { MapGap } from '../geometry/gaps.ts'
import type { Place } from '../geometry/grid.ts'
import type { Frame } from '../geometry/projection.ts'
import type { MapSteps, Run } from '../geometry/steps.ts'
import { drawRings, drawWords } from './chart.ts'
import { drawMarks } from './marks.ts'
import { drawFocus, drawGaps, drawLoop, drawPath, drawRing } from './overlay.ts'

/** All that the map shows at one moment. Parts are compared by identity: a part that is the same object has not changed. */
export type Scene = {
  readonly frame: Frame
  readonly reach: number
  readonly steps: MapSteps
  readonly run: Run
  /** Width of a mark in CSS pixels times `dpr`. */
  readonly markWidth: number
  readonly dpr: number
  readonly chosen: Uint8Array
  readonly anyChosen: boolean
  readonly gaps: readonly MapGap[]
  readonly gapShown: number | null
  readonly loop: readonly Place[] | null
  readonly ring: (Place & { readonly radius: number }) | null
  /** Row of the step that the card tells of. */
  readonly at: number | null
}

/** What the picture of the marks depends on. */
const marksParts = ['frame', 'steps', 'run', 'markWidth', 'dpr', 'chosen'] as const

export type Painter = {
  /** Draws when the browser next draws; several scenes before that are one. */
  paint(scene: Scene): void
  stop(): void
}

/**
 * Draws on a canvas. Marks lie in a picture of their own, written pixel by pixel: tens of thousands cost a millisecond or
 * two, and only when they or the view change. Everything else is a few lines on top.
 */
export function makePainter(canvas: HTMLCanvasElement, screen: ScreenSpace): Painter {
  const space = canvasSpace(screen)
  const context = canvas.getContext('2d', { alpha: false, colorSpace: space })
  let wanted: Scene | null = null
  let shown: Scene | null = null
  let asked = 0
  let layer: HTMLCanvasElement | null = null
  let picture: ImageData | null = null

  function marksOf(scene: Scene, width: number, height: number): HTMLCanvasElement | null {
    if (layer && shown && marksParts.every((part) => shown?.[part] === scene[part])) return layer
    layer ??= document.createElement('canvas')
    if (layer.width !== width || layer.height !== height || !picture) {
      layer.width = width
      layer.height = height
      picture = new ImageData(width, height, { colorSpace: space })
    }
    const data = new Uint32Array(picture.data.buffer)
    data.fill(0)
    drawMarks({ data, width, height }, inPixels(scene.frame, scene.dpr), { ...scene, width: scene.markWidth })
    layer.getContext('2d', { colorSpace: space })?.putImageData(picture, 0, 0)
    return layer
  }

  function draw(): void {
    asked = 0
    const scene = wanted
    if (!scene || !context || scene.frame.width < 1 || scene.frame.height < 1) return
    const { frame, dpr, reach, steps } = scene
    const [width, height] = [Math.round(frame.width * dpr), Math.round(frame.height * dpr)]
    if (canvas.width !== width || canvas.height !== height) {
      canvas.width = width
      canvas.height = height
    }
    context.setTransform(dpr, 0, 0, dpr, 0, 0)
    drawRings(context, frame, reach)
    const marks = marksOf(scene, width, height)
    context.setTransform(1, 0, 0, 1, 0, 0)
    if (marks) context.drawImage(marks, 0, 0)
    context.setTransform(dpr, 0, 0, dpr, 0, 0)
    drawWords(context, frame, reach)
    drawGaps(context, frame, scene.gaps, scene.gapShown)
    if (scene.loop) drawLoop(context, frame, scene.loop)
    if (scene.ring) drawRing(context, frame, scene.ring)
    if (scene.at !== null) {
      drawPath(context, frame, steps, steps.panel[scene.at]!)
      drawFocus(context, frame, steps, scene.at, scene.markWidth / dpr)
    }
    shown = scene
  }

  return {
    paint(scene) {
      wanted = scene
      if (asked === 0) asked = requestAnimationFrame(draw)
    },
    stop() {
      cancelAnimationFrame(asked)
      asked = 0
    },
  }
}

/** A screen's colours as canvases name them. */
export const canvasSpace = (screen: ScreenSpace): PredefinedColorSpace =>
  screen === 'Display P3' ? 'display-p3' : 'srgb'

export const inPixels = (frame: Frame, dpr: number): Frame => ({
  scale: frame.scale * dpr,
  originX: frame.originX * dpr,
  originY: frame.originY * dpr,
  width: Math.round(frame.width * dpr),
  height: Math.round(frame.height * dpr),
})
