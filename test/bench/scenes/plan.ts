import { benchToPhoto, type Rectangle } from '../../../electron/service/demonstration/picture/geometry.ts'
import { randomFrom } from '../../../electron/service/demonstration/random.ts'
import { apply3, invert3, type Vector3 } from '../../../shared-core/colour/matrix.ts'
import { markAll } from './marks.ts'
import { lightAt } from './picture/fields.ts'
import { shadowOverCard, usualShadow } from './picture/shadows.ts'
import type { Shot } from './picture/shot.ts'
import { exposureOf, lensOf } from './picture/taking.ts'
import { fieldOf, secondLight, specksOver, thingsOf } from './scene.ts'
import { rawOf } from './spectra/camera.ts'
import type { Values } from './spectra/data.ts'
import { type Light, mixLights } from './spectra/lights.ts'
import { benchTop, labOf } from './spectra/paints.ts'
import type { Planned, Wish } from './wish.ts'

const [longPx, shortPx] = [1600, 1200]

/** Everything about a photo that chance decides, and what a user marks on it. */
export function planShot(wish: Wish): Planned {
  const random = randomFrom(wish.seed)
  const trouble = wish.trouble ?? null
  const portrait = random.chance(0.3)
  const [width, height] = portrait ? [shortPx, longPx] : [longPx, shortPx]
  const pixelsPerMm = random.between(4, 4.25)
  const tilt = () => (wish.tilt ?? 0.045) * random.normal()
  const view = { pixelsPerMm, pitch: tilt(), yaw: tilt(), roll: 0.04 * random.normal() }
  const toPhoto = benchToPhoto(view as Parameters<typeof benchToPhoto>[0], width, height)
  const { things, cardOn, tilesOn, chartOn, panelsOn } = thingsOf(random, wish, portrait, longPx / pixelsPerMm)
  const field = fieldOf(random)
  const lightOn = (on: Rectangle) => lightAt(field, on.xMm, on.yMm)
  const second = secondLight(random, trouble)
  const light = second && trouble === 'mixed-light' ? second.base : wish.light
  const { camera } = wish
  const white = rawOf(camera.sensor, second && trouble ? mixLights(light, second.light, 0.4) : light, null)
  const brightest = Math.max(
    ...wish.paints.map((paint, i) => lightOn(panelsOn[i]!) * highest(wish, light, white, paint.reflectance)),
  )
  const exposure = exposureOf(random, { camera, trouble, brightest })
  const marks = markAll(random.fork('marks'), { toPhoto, things, cardOn, tilesOn, chartOn, panelsOn, trouble })
  const shadows =
    trouble === 'card-half-shadow'
      ? [shadowOverCard(random, cardOn)]
      : usualShadow(random, panelsOn, [cardOn, ...tilesOn, ...(chartOn ? [chartOn] : [])])
  const shot: Shot = {
    seed: wish.seed,
    width,
    height,
    pixelsPerMm,
    toPhoto,
    toBench: invert3(toPhoto),
    camera,
    light,
    field,
    second: second && { light: second.light, field: second.field, strength: second.strength },
    bench: benchTop(random),
    benchGrain: random.chance(0.75) ? random.between(0, 0.008) : random.between(0.008, 0.06),
    things,
    shadows,
    specks: specksOver(random, panelsOn, width / pixelsPerMm, height / pixelsPerMm),
    balance: [Math.exp(wish.balance[0]), 1, Math.exp(wish.balance[1])],
    balanceLast: wish.ideal ?? false,
    white,
    exposure,
    ...lensOf(random, trouble),
  }
  return {
    shot,
    layout: marks,
    truth: wish.paints.map(({ reflectance }) => labOf(reflectance)),
    profile: camera.profile,
    facts: {
      trouble,
      tone: camera.tone.name,
      light: shot.light.name,
      space: camera.space,
      kinds: wish.paints.map(({ kind }) => kind),
      flare: shot.flare,
      clipped: exposure * brightest > 0.985 * camera.tone.headroom,
      unevenness: panelsOn.map((on) => lightOn(on) / lightOn(cardOn) - 1),
    },
  }
}

/** A paint's strongest channel, linear, a perfect white in the same light being about 1. */
export function highest(
  { camera, balance, ideal }: Pick<Wish, 'camera' | 'balance' | 'ideal'>,
  light: Light,
  white: Vector3,
  reflectance: Values,
): number {
  const raw = rawOf(camera.sensor, light, reflectance)
  const gain: Vector3 = [Math.exp(balance[0]), 1, Math.exp(balance[1])]
  const [before, after]: Vector3[] = ideal ? [[1, 1, 1], gain] : [gain, [1, 1, 1]]
  const balanced = raw.map((v, c) => (v / white[c]!) * before![c]!) as unknown as Vector3
  const linear = apply3(camera.matrix, balanced).map((v, c) => v * after![c]!)
  return Math.max(...balanced, ...linear)
}
