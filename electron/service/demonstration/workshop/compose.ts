import type { SpectralIlluminant } from '../../../../shared-core/colour/spectrum.ts'
import type { View } from '../../../../shared-core/records/colour.ts'
import type { Bench, Camera, PanelLook, PhotoPlan } from '../picture/plan.ts'
import type { Random } from '../random.ts'

/** The workshop's lights: their names on the rack's list, and what they shine with. */
export const lights = {
  booth: { name: 'booth tubes', illuminant: 'D50' },
  led: { name: 'LED lamp', illuminant: 'LED-B3' },
  sun: { name: 'sun', illuminant: 'D50' },
  overcast: { name: 'overcast', illuminant: 'D65' },
  lamp: { name: 'workshop lamp', illuminant: 'A' },
} as const satisfies Record<string, { name: string; illuminant: SpectralIlluminant }>
export type LightKey = keyof typeof lights

/** Invented phones. Each has its own way with white balance and tone. */
export const phones = {
  old: { model: 'Workshop phone', space: 'sRGB', upright: false, curve: 0.045, noise: 1.7, warm: 0.03 },
  new: { model: 'Wren pocket camera', space: 'sRGB', upright: true, curve: 0.03, noise: 1.1, warm: -0.015 },
  wide: { model: 'Office phone', space: 'Display P3', upright: false, curve: 0.035, noise: 1.3, warm: 0.01 },
} as const satisfies Record<
  string,
  { model: string; space: Camera['space']; upright: boolean; curve: number; noise: number; warm: number }
>
export type PhoneKey = keyof typeof phones

export type Shot = {
  look: PanelLook
  light: LightKey
  view: View
  phone: PhoneKey
  bench: Bench
  tag: string | null
  card: boolean
}

/** What the white balance misses, by lamp: the further from daylight, the more. */
const misses: Record<LightKey, number> = { booth: 0.015, led: 0.025, sun: 0.02, overcast: 0.02, lamp: 0.07 }

/** Lays panel, card and tag on the bench and holds the phone over them, as somebody does who has other work waiting. */
export function compose(shot: Shot, seed: string, random: Random): PhotoPlan {
  const phone = phones[shot.phone]
  const light = lights[shot.light]
  const tall = phone.upright
  const [width, height] = tall ? [900, 1200] : [1200, 900]
  const small = shot.look.heightMm < 180
  const pixelsPerMm = (tall ? 4.4 : small ? 4.3 : 3.65) * random.between(0.97, 1.03)
  const miss = misses[shot.light]
  const warmth = phone.warm + miss * random.normal()
  const tint = 0.35 * miss * random.normal()
  const near = (mm: number, spread: number) => mm + random.between(-spread, spread)
  const cardAt = tall ? { xMm: near(54, 3), yMm: near(-26, 14) } : { xMm: near(72, 8), yMm: near(-16, 8) }
  return {
    seed,
    width,
    height,
    view: shot.view,
    bench: shot.bench,
    panel: {
      ...shot.look,
      xMm: tall ? near(-38, 3) : near(-52, 8),
      yMm: near(0, small ? 6 : 2.5),
      turn: random.between(-0.035, 0.035),
    },
    card: shot.card
      ? { ...cardAt, turn: random.between(-0.07, 0.07), widthMm: tall ? 50 : 62, heightMm: tall ? 80 : 90 }
      : null,
    tag: shot.tag
      ? { text: shot.tag, xMm: tall ? near(54, 2) : near(74, 8), yMm: near(62, 5), turn: random.between(-0.12, 0.12) }
      : null,
    lamp: {
      illuminant: light.illuminant,
      level: random.between(0.76, 0.9) * (shot.view === 'near-glare' ? 0.8 : 1),
      gradient: [random.between(-0.035, 0.035), random.between(-0.045, 0.02)],
      from: random.pick([-2.3, -1.9, -1.2, -0.8]) + random.between(-0.15, 0.15),
      glare: shot.view === 'near-glare' ? 0.8 : random.chance(0.3) ? random.between(0.4, 0.9) : 0,
    },
    camera: {
      space: phone.space,
      cast: [1 + warmth, 1 + tint, 1 - warmth],
      curve: phone.curve,
      noise: phone.noise * (shot.light === 'lamp' ? 1.6 : 1),
      vignette: random.between(0.06, 0.14),
      pitch: random.between(0.02, 0.11),
      yaw: random.between(-0.05, 0.05),
      roll: random.between(-0.03, 0.03),
      pixelsPerMm,
    },
  }
}
