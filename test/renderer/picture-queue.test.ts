import { afterEach, describe, expect, it } from 'vitest'
import { askPicture, seePictures } from '../../renderer/screens/rack/wall/picture-queue.ts'

const given: (() => void)[] = []
/** A picture on a hook, asked for. */
function ask(index: number): { image: HTMLImageElement; giveUp: () => void } {
  const card = document.createElement('a')
  card.dataset.index = String(index)
  const image = document.createElement('img')
  card.append(image)
  document.body.append(card)
  const giveUp = askPicture(image, `/picture/${index}`)
  given.push(giveUp)
  return { image, giveUp }
}
const come = ({ image }: { image: HTMLImageElement }, how = 'load') => image.dispatchEvent(new Event(how))
const sources = (all: readonly { image: HTMLImageElement }[]) => all.map(({ image }) => image.getAttribute('src'))

afterEach(() => {
  for (const giveUp of given.splice(0)) giveUp()
  document.body.replaceChildren()
})

describe('pictures of the wall', () => {
  it('are under way four at a time, those in sight before those beside it', () => {
    seePictures(20, 30)
    const all = [1, 2, 3, 4, 5, 25, 6, 26].map(ask)
    expect(sources(all)).toEqual(['/picture/1', '/picture/2', '/picture/3', '/picture/4', null, null, null, null])
    come(all[0]!)
    expect(sources(all)[5]).toBe('/picture/25')
    come(all[1]!, 'error')
    expect(sources(all)[7]).toBe('/picture/26')
    come(all[2]!)
    expect(sources(all)[4]).toBe('/picture/5')
    expect(sources(all)[6]).toBeNull()
  })

  it('that left the wall are broken off, or never asked for', () => {
    const all = [1, 2, 3, 4, 5, 6].map(ask)
    all[4]!.giveUp()
    all[0]!.giveUp()
    expect(sources(all)).toEqual([null, '/picture/2', '/picture/3', '/picture/4', null, '/picture/6'])
    // given up twice, or come and then given up, frees no place that another holds
    all[0]!.giveUp()
    come(all[1]!)
    all[1]!.giveUp()
    const more = [7, 8, 9].map(ask)
    expect(sources(more)).toEqual(['/picture/7', null, null])
  })
})
