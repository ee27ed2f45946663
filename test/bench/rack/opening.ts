import type { Host } from '../../e2e/hosts.ts'

/**
 * From asking for a rack until every card that one sees has its panel and the pictures of its bands.
 * @returns milliseconds
 */
export async function openToFullGrid(host: Host, folder: string): Promise<number> {
  await host.call('rack.close', {})
  await host.page.goto(new URL('/', host.page.url()).href)
  await host.page.waitForLoadState('networkidle')
  const from = Date.now()
  await host.call('rack.open', { folder })
  const until = await host.page.waitForFunction(
    () => {
      const seen = [...document.querySelectorAll<HTMLElement>('.rack-card')].filter((card) => {
        const { top, bottom } = card.getBoundingClientRect()
        return bottom > 0 && top < innerHeight
      })
      const isFull = (card: HTMLElement) =>
        card.getAttribute('aria-busy') !== 'true' &&
        card.querySelectorAll('.rack-band').length > 0 &&
        card.querySelectorAll('img').length === card.querySelectorAll('.rack-band').length &&
        [...card.querySelectorAll('img')].every((image) => image.complete)
      return seen.length > 5 && seen.every(isFull) ? Date.now() : false
    },
    null,
    { polling: 'raf', timeout: 60_000 },
  )
  return ((await until.jsonValue()) as number) - from
}
