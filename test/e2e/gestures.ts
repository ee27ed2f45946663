import { resolve } from 'node:path'
import type { Locator } from 'playwright-core'

/**
 * Drops real files onto an element, as a file manager does: the browser itself opens them, so the page gets what it
 * would get from a user. Events made in the page never reach a drop zone.
 */
export async function dropFiles(target: Locator, paths: string[]): Promise<void> {
  await target.scrollIntoViewIfNeeded()
  const box = await target.boundingBox()
  if (!box) throw new Error('what is dropped on is not on screen')
  const page = target.page()
  const cdp = await page.context().newCDPSession(page)
  const files = paths.map((path) => resolve(path))
  const at = {
    x: box.x + box.width / 2,
    y: box.y + box.height / 2,
    data: { items: [], files, dragOperationsMask: 1 },
  }
  try {
    for (const type of ['dragEnter', 'dragOver', 'drop'] as const)
      await cdp.send('Input.dispatchDragEvent', { type, ...at })
  } finally {
    await cdp.detach()
  }
}
