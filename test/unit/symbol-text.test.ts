import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { panelCodeIn } from '../../shared-core/find/symbol-text.ts'
import { Panel } from '../../shared-core/records/panel.ts'

describe('the panel that a symbol names', () => {
  it('is the code as it stands', () => {
    expect(panelCodeIn('P-0042')).toBe('P-0042')
    expect(panelCodeIn(' P-0042\u0020')).toBe('P-0042')
    // an O is no 0, and a small letter no capital: they may be another panel's
    expect(panelCodeIn('p-OO42')).toBe('p-OO42')
    expect(panelCodeIn('KÉK 7/b')).toBe('KÉK 7/b')
  })

  it('stands in the corners of sheets that were printed before', () => {
    expect(panelCodeIn('OG1 3 2100X2970 1000X1500 P-0042')).toBe('P-0042')
    expect(panelCodeIn('OG1 3 2159X2794 1000X1500 -')).toBeNull()
  })

  it('is none where another thing, an address or a long text is named', () => {
    const others = [
      'C-0001',
      'J-0012',
      'https://example.org',
      'WIFI:S:shop;;',
      'www.example.org',
      'mailto:a@b',
      '',
      '  ',
      '-',
    ]
    for (const text of [...others, 'P'.repeat(25), 'P-0042\nP-0043', 'P-\u00000042', 'P-\u202e0042'])
      expect(panelCodeIn(text)).toBeNull()
  })

  it('can always be a code of the records', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        const code = panelCodeIn(text)
        return code === null || Panel.shape.code.parse(code) === code
      }),
    )
    expect(Panel.shape.code.safeParse(' ').success).toBe(false)
  })
})
