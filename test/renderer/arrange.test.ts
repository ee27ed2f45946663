import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  between,
  chooseAlso,
  groupAt,
  groupInWords,
  moveByGroup,
  moveOnWall,
  railOf,
  roomForName,
  toggleChosen,
} from '../../renderer/screens/rack/wall/arrange.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import { ordered } from './sample-rack.ts'

const { ids, groups } = ordered(noFilter, 'ground')

/** Counts of groups, and the groups as they hang one behind the other. */
const counts = fc.array(fc.integer({ min: 1, max: 30 }), { minLength: 1, maxLength: 40 })
const groupsOf = (sizes: readonly number[]) => {
  let from = 0
  return sizes.map((count, at) => {
    from += count
    return { name: `group ${at}`, from: from - count, count }
  })
}

describe('panels on their hooks', () => {
  it('hangs every panel once, numbered in the order they hang, with a name at each group’s first', () => {
    fc.assert(
      fc.property(counts, fc.integer({ min: 1, max: 20 }), (sizes, columns) => {
        const made = groupsOf(sizes)
        const all = Array.from({ length: made.at(-1)!.from + made.at(-1)!.count }, (_, i) => `id-${i}`)
        const rails = Array.from({ length: Math.ceil(all.length / columns) }, (_, rail) =>
          railOf(all, made, rail, columns, true),
        )
        expect(rails.flat().map(({ id }) => id)).toEqual(all)
        expect(rails.flat().map(({ index }) => index)).toEqual(all.map((_, i) => i))
        const begun = rails.flat().filter(({ group }) => group && !group.carried)
        expect(begun.map(({ index }) => index)).toEqual(made.map(({ from }) => from))
        // each rail says at its left in which group it goes on
        for (const rail of rails) expect(rail[0]!.group?.name).toBe(groupAt(made, rail[0]!.index)?.name)
      }),
    )
  })

  it('finds the group of a hook as a walk through all of them does', () => {
    fc.assert(
      fc.property(counts, fc.nat(1200), (sizes, at) => {
        const made = groupsOf(sizes)
        const index = at % (made.at(-1)!.from + made.at(-1)!.count)
        expect(groupAt(made, index)).toBe(made.find(({ from, count }) => index >= from && index < from + count))
      }),
    )
  })

  it('says no names where nothing is grouped', () => {
    const bare = ordered(noFilter, 'none')
    expect(railOf(bare.ids, bare.groups, 0, 9, false).every(({ group }) => group === null)).toBe(true)
  })

  it('gives a name the columns up to the next stop', () => {
    const rail = railOf(ids, groups, 1, 9, true)
    // twelve panels to a ground: the second ground begins at the fourth hook of the second rail of nine
    expect(rail.findIndex(({ group }) => group && !group.carried)).toBe(3)
    expect(roomForName(rail, 3, 9)).toBe(6)
    expect(roomForName(rail, 0, 9)).toBe(3)
  })

  it('calls groups as a painter does', () => {
    expect(groupInWords('ground', 'gold', false)).toBe('Over gold')
    expect(groupInWords('ground', 'gold', true)).toBe('gold')
    expect(groupInWords('candy', 'Damson', false)).toBe('With Damson')
    expect(groupInWords('hue', 'red', true)).toBe('Red')
    expect(groupInWords('date', null, false)).toBe('No date')
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

  it('walks from group to group', () => {
    const starts = groups.map(({ from }) => from)
    expect(moveByGroup(1, 0, groups)).toBe(starts[1])
    expect(moveByGroup(1, starts.at(-1)! + 2, groups)).toBe(starts.at(-1)! + 2)
    expect(moveByGroup(-1, starts[2]! + 3, groups)).toBe(starts[2])
    expect(moveByGroup(-1, starts[2]!, groups)).toBe(starts[1])
    expect(moveByGroup(-1, 0, groups)).toBe(0)
  })
})

describe('choosing', () => {
  it('twice is as before', () => {
    expect(toggleChosen(['a', 'b'], 'c')).toEqual(['a', 'b', 'c'])
    expect(toggleChosen(['a', 'b', 'c'], 'b')).toEqual(['a', 'c'])
  })

  it('a range is everything between, either way round, and is put beside what was chosen', () => {
    const flat = ordered(noFilter, 'none').ids
    expect(between(flat, 3, 1)).toEqual(flat.slice(1, 4))
    expect(chooseAlso(['panel-2'], between(flat, 1, 3))).toEqual(['panel-2', 'panel-3', 'panel-4'])
  })
})
