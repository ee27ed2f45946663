import { fileURLToPath } from 'node:url'
import { describe, expect, test } from 'vitest'
import { breach, importsIn, isBarrel, readSource, sourceFiles } from './layers.ts'

const root = fileURLToPath(new URL('../..', import.meta.url))
const files = sourceFiles(root)

describe('the project', () => {
  test('is found: every side has files', () => {
    const sides = ['electron/shell/', 'electron/loopback/', 'electron/service/', 'renderer/', 'shared-core/']
    expect(sides.filter((side) => !files.some((file) => file.startsWith(side)))).toEqual([])
  })

  test('imports point one way', () => {
    const breaches = files.flatMap((from) =>
      importsIn(from, readSource(root, from)).flatMap((to) => {
        const why = breach({ from, to })
        return why === undefined ? [] : [`${from} imports ${to}: ${why}`]
      }),
    )
    expect(breaches).toEqual([])
  })

  test('has no barrel files', () => {
    expect(files.filter((file) => isBarrel(file, readSource(root, file)))).toEqual([])
  })
})

describe('the check itself', () => {
  test('sees every form of import, and nothing that only looks like one', () => {
    const text = `
      import a from './a.ts'
      import type { B } from "./b.ts"
      import './c.css'
      export * from './d.ts'
      export { e } from './e.ts'
      const f = await import('./f.ts'); const g = import(\`./g.ts\`)
      type H = import('./h.ts').H
      const i = require('./i.mjs')
      // import x from './comment.ts'
      const s = "import y from './string.ts'"
    `
    expect(importsIn('x.ts', text).toSorted()).toEqual(
      ['a.ts', 'b.ts', 'c.css', 'd.ts', 'e.ts', 'f.ts', 'g.ts', 'h.ts', 'i.mjs'].map((name) => `./${name}`),
    )
    expect(() => importsIn('x.ts', 'await import(name)')).toThrow('computed')
    expect(() => importsIn('x.ts', 'import {')).toThrow('x.ts')
  })

  test.each([
    ['shared-core/colour/lab.ts', '../../electron/rack/opening/open.ts'],
    ['shared-core/colour/lab.ts', 'node:fs'],
    ['shared-core/colour/lab.ts', 'fs'],
    ['shared-core/colour/lab.ts', 'react'],
    ['renderer/app.tsx', '../electron/service/link/client.ts'],
    ['renderer/app.tsx', 'node:path'],
    ['renderer/app.tsx', 'sharp'],
    ['electron/shell/main.ts', '../rack/opening/open.ts'],
    ['electron/shell/main.ts', '../service/dispatch.ts'],
    ['electron/shell/main.ts', '../loopback/server.ts'],
    ['electron/shell/main.ts', 'node:http'],
    ['electron/loopback/main.ts', '../service/dispatch.ts'],
    ['electron/loopback/main.ts', 'electron'],
    ['electron/service/main.ts', 'electron'],
    ['electron/service/main.ts', 'electron/main'],
    ['electron/service/handlers/photos.ts', 'sharp'],
    ['electron/service/handlers/photos.ts', '../../shell/main.ts'],
    ['electron/service/link/client.ts', '../dispatch.ts'],
    ['electron/rack/opening/open.ts', '../../photos/decode.ts'],
    ['electron/rack/opening/open.ts', '../../service/jobs.ts'],
    ['electron/print/pdf.ts', '../rack/opening/open.ts'],
    ['electron/photos/decode.ts', 'node:net'],
    ['electron/service/phone/phone.ts', 'node:http'],
    ['electron/phone/server.ts', '../service/dispatch.ts'],
    ['electron/phone/server.ts', '../rack/opening/open.ts'],
    ['electron/phone/server.ts', '../loopback/server.ts'],
    ['electron/phone/page/main.ts', 'node:crypto'],
    ['electron/phone/page/main.ts', '../server.ts'],
    ['electron/loopback/main.ts', '../phone/server.ts'],
    ['electron/shell/main.ts', '../phone/server.ts'],
    ['renderer/app.tsx', '../test/unit/layers.ts'],
    ['renderer/app.tsx', './state'],
    ['electron/start.mjs', './shell/main.ts'],
  ])('%s importing %s is a breach', (from, to) => {
    expect(breach({ from, to })).toEqual(expect.any(String))
  })

  test.each([
    ['shared-core/contract/calls.ts', '../records/job.ts'],
    ['shared-core/contract/calls.ts', 'zod'],
    ['shared-core/exchange/xml.ts', 'saxes'],
    ['renderer/app.tsx', '../shared-core/contract/calls.ts'],
    ['renderer/app.tsx', 'react'],
    ['electron/shell/main.ts', '../service/link/client.ts'],
    ['electron/shell/main.ts', 'electron'],
    ['electron/loopback/server.ts', 'node:http'],
    ['electron/phone/server.ts', 'node:http'],
    ['electron/phone/server.ts', '../http/bodies.ts'],
    ['electron/service/phone/phone.ts', '../../phone/thread.ts'],
    ['electron/service/handlers/photos.ts', '../../photos/decode.ts'],
    ['electron/photos/decode.ts', 'sharp'],
  ])('%s may import %s', (from, to) => {
    expect(breach({ from, to })).toBeUndefined()
  })

  test('knows a barrel', () => {
    expect(isBarrel('a/index.ts', 'export const a = 1')).toBe(true)
    expect(isBarrel('a/all.ts', "export * from './b.ts'\nexport { c } from './c.ts'")).toBe(true)
    expect(isBarrel('a/b.ts', "import { c } from './c.ts'\nexport const b = c")).toBe(false)
  })
})
