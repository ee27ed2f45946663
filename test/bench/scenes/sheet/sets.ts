import { type Random, randomFrom } from '../../../../electron/service/demonstration/random.ts'
import { anyCamera } from '../spectra/camera.ts'
import { anyLight } from '../spectra/lights.ts'
import { anyPrinter } from '../spectra/printer.ts'
import { anyPrint, printedSheet } from './page.ts'
import { planSheetPhoto, type SheetPhoto } from './plan.ts'

export type SheetGroup = 'sheet-known' | 'sheet-new'

/** Photos after the one with the chart. */
const others = 4

const balanceOf = (random: Random, spread: number): [number, number] => [
  spread * random.normal(),
  spread * random.normal(),
]
/** Most cameras are a few percent off, some a good deal. */
const anyBalance = (random: Random) => balanceOf(random, random.chance(0.25) ? 0.12 : 0.045)

const anyCode = (random: Random): string => `P-${String(random.whole(1, 9999)).padStart(4, '0')}`

/**
 * Sheets of one printer and paper in one light. `sheet-known`: first a photo with a chart in its place, then others, mostly
 * by the same phone. `sheet-new`: one photo.
 */
export async function sheetSet(group: SheetGroup, set: number, seed: string): Promise<SheetPhoto[]> {
  const name = `${seed}/${group}/${set}`
  const random = randomFrom(name)
  const light = anyLight(random)
  const printer = anyPrinter(random)
  const camera = anyCamera(random, light)
  const balance = anyBalance(random)
  const first = anyPrint(random)
  const again = random.chance(0.2) ? 0.08 : 0.02
  const count = group === 'sheet-known' ? 1 + others : 1
  const photos: SheetPhoto[] = []
  for (let n = 0; n < count; n++) {
    const print = n === 0 || random.chance(0.75) ? first : anyPrint(random, first.series, first.paper)
    const isOther = n > 0 && random.chance(0.3)
    const [red, blue] = balanceOf(random, again)
    photos.push(
      planSheetPhoto({
        seed: `${name}/${n}`,
        sheet: await printedSheet(print, anyCode(random)),
        printer,
        light,
        camera: isOther ? anyCamera(random, light) : camera,
        balance: n === 0 ? balance : isOther ? anyBalance(random) : [balance[0] + red, balance[1] + blue],
        withChart: group === 'sheet-known' && n === 0,
      }),
    )
  }
  for (const { facts } of photos) facts.group = group
  return photos
}
