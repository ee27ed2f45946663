import type { Rectangle } from '../../../../electron/service/demonstration/picture/geometry.ts'
import type { Random } from '../../../../electron/service/demonstration/random.ts'
import { lightAt } from '../picture/fields.ts'
import type { Field, Glare } from '../picture/shot.ts'
import { lyingOn } from './lie.ts'

/** Share by which the darkest place of a rectangle lies below the brightest. */
export function gradientOver(field: Field, on: Rectangle): number {
  const levels = Array.from({ length: 25 }, (_, n) => {
    const { xMm, yMm } = lyingOn(on, {
      xMm: ((n % 5) / 4) * on.widthMm,
      yMm: (Math.floor(n / 5) / 4) * on.heightMm,
      widthMm: 0,
      heightMm: 0,
    })
    return lightAt(field, xMm, yMm)
  })
  return 1 - Math.min(...levels) / Math.max(...levels)
}

/** A lamp from the side, so high that light falls off by 0 to 30 % over the sheet. */
export function fieldOver(random: Random, sheet: Rectangle): Field {
  const wanted = random.between(0, 0.3)
  const around = random.between(0, 2 * Math.PI)
  const leaning = random.between(0.1, 1.1)
  const at = (heightMm: number): Field => {
    const far = leaning * heightMm
    return {
      lamp: { at: [sheet.xMm + far * Math.cos(around), sheet.yMm + far * Math.sin(around)], heightMm },
      slope: [0, 0],
    }
  }
  let [low, high] = [250, 20_000]
  for (let n = 0; n < 30; n++) {
    const middle = Math.sqrt(low * high)
    if (gradientOver(at(middle), sheet) > wanted) low = middle
    else high = middle
  }
  return at(high)
}

/** Coated paper or toner throws a little of the lamp back: broad and faint. */
export function paperGlares(random: Random, sheet: Rectangle): Glare[] {
  if (random.chance(0.7)) return []
  return Array.from({ length: random.whole(1, 2) }, () => {
    const size = random.between(30, 110)
    return {
      x: random.between(-0.5, 0.5) * sheet.widthMm,
      y: random.between(-0.5, 0.5) * sheet.heightMm,
      turn: random.between(0, Math.PI),
      halfLength: size * random.between(1, 2),
      halfWidth: size,
      softness: 0.9,
      strength: random.between(0.004, 0.04),
    }
  })
}
