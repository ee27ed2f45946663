import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  chooseBetween,
  hang,
  moveOnWall,
  railOf,
  roomForName,
  toggleChosen,
} from '../../renderer/screens/rack/arrange.ts'
import { panels } from './sample-rack.ts'

const shuffled = fc.shuffledSubarray(panels, { minLength: 1 })

describe('panels on their hooks', () => {
  it('hangs every panel once, numbered in the order they hang', () => {
    fc.assert(
      fc.property(shuffled, fc.boolean(), (some, grouped) => {
        const hooks = hang(some, grouped)
        expect(hooks.map((hook) => hook.panel.id).toSorted()).toEqual(some.map((panel) => panel.id).toSorted())
        expect(hooks.map((hook) => hook.index)).toEqual(some.map((_, i) => i))
      }),
    )
  })

  it('keeps one ground together, under one name with its count, in the sorted order', () => {
    fc.assert(
      fc.property(shuffled, (some) => {
        const hooks = hang(some, true)
        for (const { group, index } of hooks) {
          if (!group) continue
          const members = hooks.slice(index, index + group.count)
          expect(members.map((hook) => hook.panel)).toEqual(some.filter((panel) => panel.ground === group.name))
        }
        const named = hooks.flatMap((hook) => (hook.group ? [hook.group] : []))
        expect(new Set(named.map((group) => group.name)).size).toBe(named.length)
        expect(named.reduce((sum, group) => sum + group.count, 0)).toBe(some.length)
      }),
    )
  })

  it('hangs panels without a ground last', () => {
    const bare = { ...panels[0]!, id: 'bare', ground: null }
    expect(hang([bare, ...panels], true).at(-1)?.panel.id).toBe('bare')
  })

  it('gives a name the columns up to the next stop', () => {
    const rail = railOf(hang(panels, true), 1, 9)
    // twelve panels to a ground: the second ground begins at the fourth hook of the second rail of nine
    expect(rail.findIndex((hook) => hook.group)).toBe(3)
    expect(roomForName(rail, 3, 9)).toBe(6)
    expect(roomForName(rail, 0, 9)).toBe(3)
  })
})

describe('keys on the wall', () => {
  it('moves by hook, by rail, by page and to the ends', () => {
    const move = (key: string, from: number) => moveOnWall(key, from, 60, 9, 2)
    expect(move('ArrowRight', 8)).toBe(9)
    expect(move('ArrowLeft', 9)).toBe(8)
    expect(move('ArrowDown', 4)).toBe(13)
    expect(move('ArrowUp', 13)).toBe(4)
    expect(move('PageDown', 4)).toBe(22)
    expect(move('PageUp', 4)).toBe(0)
    expect(move('Home', 40)).toBe(0)
    expect(move('End', 3)).toBe(59)
  })

  it('stays where there is nothing further, and reaches a short last rail', () => {
    expect(moveOnWall('ArrowLeft', 0, 60, 9, 2)).toBe(0)
    expect(moveOnWall('ArrowUp', 4, 60, 9, 2)).toBe(4)
    expect(moveOnWall('ArrowRight', 59, 60, 9, 2)).toBe(59)
    expect(moveOnWall('ArrowDown', 53, 60, 9, 2)).toBe(59)
    expect(moveOnWall('ArrowDown', 56, 60, 9, 2)).toBe(56)
  })

  it('never leaves the wall', () => {
    const key = fc.constantFrom(
      'ArrowLeft',
      'ArrowRight',
      'ArrowUp',
      'ArrowDown',
      'PageUp',
      'PageDown',
      'Home',
      'End',
      'x',
    )
    const n = (max: number) => fc.integer({ min: 1, max })
    fc.assert(
      fc.property(key, n(200), n(200), n(20), n(5), (pressed, count, from, columns, rows) => {
        const to = moveOnWall(pressed, (from - 1) % count, count, columns, rows)
        expect(to).toBeGreaterThanOrEqual(0)
        expect(to).toBeLessThan(count)
      }),
    )
  })
})

describe('choosing', () => {
  it('twice is as before', () => {
    expect(toggleChosen(['a', 'b'], 'c')).toEqual(['a', 'b', 'c'])
    expect(toggleChosen(['a', 'b', 'c'], 'b')).toEqual(['a', 'c'])
  })

  it('a range puts in everything between, either way round, and keeps what was chosen', () => {
    const hooks = hang(panels, false)
    expect(chooseBetween(['panel-2'], hooks, 3, 1)).toEqual(['panel-2', 'panel-3', 'panel-4'])
    expect(chooseBetween([], hooks, 1, 3)).toEqual(['panel-2', 'panel-3', 'panel-4'])
  })
})
