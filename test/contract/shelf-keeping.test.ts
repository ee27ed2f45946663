import { rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { emptyShop, shelve } from './bench-shop.ts'

test('a mark set in grams is no mark in millilitres once the count is forgotten', async () => {
  const service = await emptyShop()
  const onHand = { amount: 900, basis: 'mass' as const }
  const { id } = await shelve(service, 'copper', 'concentrate', { densityKgPerL: 0.9, onHand })
  const { material } = await service.call('shelf.count', { materialId: id, onHand, how: 'counted', batch: '' })
  const { onHand: _, dataSheetFile: __, replacedById: ___, ...said } = material
  await service.call('shelf.save', { material: { ...said, reorderAt: 450 } })
  const forget = async () =>
    (await service.call('shelf.count', { materialId: id, onHand: null, how: 'counted', batch: '' })).material
  // 450 g of 0.9 kg/L are 500 mL, in which a candy is measured that nobody counted
  expect(await forget()).toMatchObject({ onHand: null, reorderAt: 500 })
  await service.call('history.undo', {})
  await service.call('shelf.save', { material: { ...said, densityKgPerL: null, reorderAt: 450 } })
  expect(await forget()).toMatchObject({ onHand: null, reorderAt: null })
})

test('a mark follows what another kind is measured in, unless it was typed anew with it', async () => {
  const service = await emptyShop()
  const {
    onHand: _,
    dataSheetFile: __,
    replacedById: ___,
    ...said
  } = await shelve(service, 'silver', 'concentrate', {
    densityKgPerL: 0.9,
    reorderAt: 500,
  })
  const save = async (more: Partial<typeof said>) =>
    (await service.call('shelf.save', { material: { ...said, ...more } })).material.reorderAt
  // 500 mL of 0.9 kg/L are 450 g, in which flake is weighed
  expect(await save({ kind: 'flake' })).toBe(450)
  await service.call('history.undo', {})
  expect(await save({ kind: 'flake', reorderAt: 60 })).toBe(60)
  await service.call('history.undo', {})
  expect(await save({ kind: 'flake', densityKgPerL: null })).toBeNull()
  await service.call('history.undo', {})
  expect(await save({ kind: 'base' })).toBe(500)
})

test('a material that takes another’s place is in use again, whatever took its own before', async () => {
  const service = await emptyShop()
  const copper = await shelve(service, 'copper', 'concentrate')
  const ochre = await shelve(service, 'ochre', 'concentrate')
  await service.call('shelf.replace', { materialId: copper.id, byMaterialId: ochre.id })
  await service.call('shelf.replace', { materialId: ochre.id, byMaterialId: copper.id })
  const find = async (id: string) =>
    (await service.call('materials.list', {})).materials.find((material) => material.id === id)?.replacedById
  expect(await find(ochre.id)).toBe(copper.id)
  expect(await find(copper.id)).toBeNull()
  await service.call('history.undo', {})
  expect(await find(copper.id)).toBe(ochre.id)
})

test('a link in the rack’s place of data sheets opens nothing outside of it', async () => {
  const service = await emptyShop()
  const { id } = await shelve(service, 'copper', 'concentrate')
  const [path, secret] = [join(service.folder, 'sheet.pdf'), join(service.folder, 'secret.pdf')]
  writeFileSync(path, '%PDF-1.7\n%%EOF')
  writeFileSync(secret, '%PDF-1.7\nof somebody else')
  const { material } = await service.call('shelf.attachDataSheet', { materialId: id, path })
  const { sha256 } = material.dataSheetFile!
  const kept = join(service.folder, 'rack', 'data-sheets', sha256.slice(0, 2), `${sha256}.pdf`)
  rmSync(kept)
  symlinkSync(secret, kept)
  expect(await service.refusal('shelf.openDataSheet', { materialId: id })).toMatchObject({ code: 'file/unreadable' })
})
