import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { benchOf } from '../../renderer/screens/mix/bench/reckon/bench-steps.ts'
import { mixCardBlocks } from '../../shared-core/label/mix-card/lines.ts'
import type { Block } from '../../shared-core/label/paper/blocks.ts'
import { sayStep } from '../../shared-core/mix/cup/say-amounts.ts'
import type { Cup } from '../../shared-core/records/cup.ts'
import type { Material } from '../../shared-core/records/mixture.ts'
import {
  byCup,
  byScale,
  carrier,
  copper,
  cupOf,
  facts,
  fourToOne,
  hardener,
  mixed,
  partOf,
  shelf,
  shelved,
} from './bench-cups.ts'

const flat = (blocks: readonly Block[]): Block[] =>
  blocks.flatMap((block) => (block.kind === 'together' ? flat(block.blocks) : [block]))
const wordsOf = (blocks: readonly Block[]): string =>
  flat(blocks)
    .map((block) => (block.kind === 'text' ? block.text : block.kind === 'fact' ? `${block.about} ${block.says}` : ''))
    .join('\n')
/** Rows of the tables without their heads: name, amount, reading. */
const rowsOf = (blocks: readonly Block[]): string[][] =>
  flat(blocks).flatMap((block) =>
    block.kind === 'table'
      ? block.rows
          .slice(1)
          .map((row) => row.map((cell) => (cell === 'write' ? '…' : cell.text.replaceAll('\u00A0', ' '))))
      : [],
  )
const card = (cup: Cup, materials: readonly Material[] = shelf) => mixCardBlocks(cup, facts({ materials }))

const kinds = fc.constantFrom('concentrate', 'carrier', 'reducer', 'flake', 'pearl', 'clear')
const cups = fc
  .record({
    liquids: fc.array(fc.record({ kind: kinds, amount: fc.integer({ min: 1, max: 60 }) }), {
      minLength: 1,
      maxLength: 7,
    }),
    powder: fc.option(fc.integer({ min: 1, max: 60 }), { nil: null }),
    ml: fc.integer({ min: 20, max: 2000 }),
    measure: fc.constantFrom(byCup, byScale, { by: 'volume' as const, step: 5, dropMl: 0.05 }),
    poured: fc.array(fc.option(fc.double({ min: 0.1, max: 1.6, noNaN: true }), { nil: null }), {
      minLength: 9,
      maxLength: 9,
    }),
  })
  .map(({ liquids, powder, ml, measure, poured }) => {
    const materials = liquids.map(({ kind }, i) => shelved(`no ${i}`, kind, { densityKgPerL: 0.8 + i / 20 }))
    const dust = shelved('dust', 'flake', { flakeMicron: 150 })
    const mixture = mixed(
      ...(powder === null ? [] : [partOf(dust, powder, 'grams-per-litre')]),
      partOf(carrier, 10),
      ...materials.map((material, i) => partOf(material, liquids[i]!.amount)),
    )
    const all = [carrier, dust, ...materials]
    const cup = cupOf(mixture, ml, { measure }, all)
    const lines = cup.lines.map((line, i) => {
      const times = poured[i] ?? null
      const amount = times === null ? null : Number((line.wanted * times).toFixed(2))
      return { ...line, poured: amount, accepted: amount !== null && i % 3 === 0 }
    })
    return { materials: all, fresh: cup, begun: { ...cup, lines } }
  })

describe('a card and the bench', () => {
  test('say the same of every cup: the same order, amounts and readings', () => {
    fc.assert(
      fc.property(cups, ({ materials, fresh, begun }) => {
        for (const cup of [fresh, begun]) {
          const { steps, measuring } = benchOf(cup, materials, { done: [] })
          const pours = steps.flatMap((step) => (step.kind === 'pour' ? [step] : []))
          const rows = rowsOf(card(cup, materials))
          expect(rows.map(([name]) => name)).toEqual(pours.map(({ line }) => line.name))
          const open = pours.flatMap((pour, at) => (pour.done && pour.rest.poured !== null ? [] : [{ ...pour, at }]))
          expect(rows.flatMap((row, at) => (row[2] === 'it is in' ? [] : [at]))).toEqual(open.map(({ at }) => at))
          expect(open.map(({ at }) => rows[at]!.slice(1, 3))).toEqual(
            open.map(({ rest, step, unit, drops }) => {
              const amount = `${sayStep(rest.toPour, step, 'point')} ${unit}`
              const counted = drops === null ? amount : `${drops} drops (${amount})`
              return [
                rest.topUp ? `${counted} more` : counted,
                rest.reading ? `${sayStep(rest.reading, measuring.step, 'point')} ${unit}` : 'weighed apart',
              ]
            }),
          )
        }
      }),
    )
  })

  test('stay the same when a density is corrected or forgotten after the cup was started', () => {
    const cup = cupOf(fourToOne, 210, { measure: byScale })
    const forgotten = shelf.map((material) => ({ ...material, densityKgPerL: null }))
    expect(rowsOf(card(cup, forgotten))).toEqual(rowsOf(card(cup)))
  })
})

describe('what a card warns of', () => {
  test('goes by what safety data sheets name, not by kinds alone', () => {
    const cup = cupOf(mixed(partOf(copper, 1), partOf(carrier, 6), partOf(hardener, 1)), 200)
    const plain = cupOf(fourToOne, 210)
    const told = (name: string, isocyanate: boolean) =>
      shelf.map((material) => (material.name === name ? { ...material, isocyanate } : material))
    const isocyanates = /isocyanates/u
    expect(wordsOf(card(cup))).toMatch(isocyanates)
    expect(wordsOf(card(plain))).not.toMatch(isocyanates)
    expect(wordsOf(card(plain, told(carrier.name, true)))).toMatch(isocyanates)
    expect(wordsOf(card(cup, told(hardener.name, false)))).toContain('free of isocyanates')
    // before anything is poured, not only among the cautions at the end
    const blocks = flat(card(cup))
    const mind = blocks.findIndex((block) => block.kind === 'fact' && block.about === 'Mind')
    expect(blocks[mind]).toMatchObject({ says: 'Hardener in it: isocyanates. See safety sheet.' })
    expect(mind).toBeLessThan(blocks.findIndex(({ kind }) => kind === 'table'))
  })

  test('is each caution of mixing and spraying once', () => {
    const words = wordsOf(card(cupOf(fourToOne, 210)))
    expect(words.match(/Solvent vapour is harmful/gu)).toHaveLength(1)
  })

  test('is a pot life: the shortest on the shelf, or that the data sheet says it', () => {
    const cup = cupOf(mixed(partOf(copper, 1), partOf(hardener, 1)), 200)
    const without = shelf.map((material) => ({ ...material, potLifeMin: null }))
    const shorter = shelf.map((each) => (each.name === copper.name ? { ...each, potLifeMin: 40 } : each))
    expect(wordsOf(card(cup))).toContain('Pot life 90 min from when the hardener goes in')
    expect(wordsOf(card(cup, shorter))).toContain('Pot life 40 min')
    expect(wordsOf(card(cup, without))).toContain('Pot life It hardens in the cup')
    expect(wordsOf(card(cupOf(fourToOne, 210)))).not.toContain('Pot life')
  })

  test('is a mark that is too coarse, and the cup that would do', () => {
    // 6 mL of crimson on marks of 1 mL: ten of them need 350 mL
    expect(wordsOf(card(cupOf(fourToOne, 210)))).toContain('crimson: less than ten steps of your measure. Mix 350 mL')
    expect(wordsOf(card(cupOf(fourToOne, 420)))).not.toContain('steps of your measure')
  })
})
