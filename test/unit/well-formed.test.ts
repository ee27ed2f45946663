/** Texts from outside. "Well-formed": ECMA-262, String.prototype.isWellFormed; what U+FFFD is for: Unicode 15, section 5.22. */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { wellFormed, wellFormedThroughout } from '../../shared-core/words/well-formed.ts'

describe('texts from outside', () => {
  it('hold neither zero signs nor halves of a pair, and are otherwise as they were', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        const made = wellFormed(text)
        expect(made.isWellFormed()).toBe(true)
        expect(made).not.toContain('\0')
        expect(made).toHaveLength(text.length)
      }),
    )
    expect(wellFormed('a\0b\ud800c\udc00')).toBe('a\ufffdb\ufffdc\ufffd')
    expect(wellFormed('שלום 👩‍👩‍👧 \u202e')).toBe('שלום 👩‍👩‍👧 \u202e')
  })

  it('in lists, objects and keys', () => {
    const given = { 'k\0': ['a\0', 1, null, { deep: '\ud800' }], fine: 'fine' }
    expect(wellFormedThroughout(given)).toEqual({ 'k\ufffd': ['a\ufffd', 1, null, { deep: '\ufffd' }], fine: 'fine' })
    const fine = { a: ['b', { c: 1 }] }
    expect(wellFormedThroughout(fine)).toBe(fine)
    const date = new Date(0)
    expect(wellFormedThroughout({ date, bytes: new Uint8Array(2) })).toEqual({ date, bytes: new Uint8Array(2) })
  })

  it('one thing in a million places is gone through once; a ring ends', () => {
    let value: unknown = 'a\0'
    for (let i = 0; i < 200; i++) value = { mixture: value, parts: [value, value] }
    const made = wellFormedThroughout(value) as { mixture: unknown; parts: unknown[] }
    expect(made.parts[0]).toBe(made.mixture)
    const ring: unknown[] = ['a']
    ring.push(ring)
    expect(wellFormedThroughout(ring)).toBe(ring)
  })
})
