import { cpSync, mkdirSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { perform } from '../../../electron/rack/archive/worker/perform.ts'
import { migrations } from '../../../electron/rack/migrations/list.ts'
import { allParts, usualRules } from '../../../shared-core/records/archive.ts'
import { layOutFixture } from '../fixtures/lay-out.ts'
import { freshFolder } from '../fresh.ts'
import { emptyRack, hanging, soundness, take } from './merging.ts'

/** What every released version wrote is let in: neither its form nor one of its rows is taken for a stranger's. */
describe.each(migrations.map((_, i) => i + 1))('a rack of form %i', (version) => {
  test('is proved, brought to the newest form in a copy, and taken in once', async () => {
    const folder = layOutFixture(version)
    const copy = join(freshFolder(), 'copy')
    mkdirSync(copy)
    const path = join(copy, 'rack.sqlite')
    const proved = await perform({ name: 'copyAndProve', ask: { folder, path } })
    expect(proved).toEqual({ broughtFrom: version === migrations.length ? null : version })
    const ours = await emptyRack('ours')
    const theirs = { ...ours, folder: copy }
    const { added } = await take(ours, theirs)
    expect(added).toBeGreaterThan(0)
    expect((await hanging(ours)).length).toBe(added)
    expect(soundness(ours)).toEqual(['ok', []])
    const again = {
      theirs: path,
      ours: join(ours.folder, 'rack.sqlite'),
      wish: { rules: usualRules, choices: {}, parts: allParts },
      plan: null,
    }
    expect(await perform({ name: 'merge', ask: again })).toMatchObject({ panels: [], counts: { same: added } })
  })

  test('is not written to', async () => {
    const folder = layOutFixture(version)
    const before = join(freshFolder(), 'before')
    cpSync(folder, before, { recursive: true })
    await perform({ name: 'copyAndProve', ask: { folder, path: join(freshFolder(), 'rack.sqlite') } })
    expect(readdirSync(folder).toSorted()).toEqual(readdirSync(before).toSorted())
    expect(readFileSync(join(folder, 'rack.sqlite')).equals(readFileSync(join(before, 'rack.sqlite')))).toBe(true)
  })
})
