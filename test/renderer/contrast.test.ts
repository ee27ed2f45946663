import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'

/**
 * Contrast ratio (L1 + 0.05) / (L2 + 0.05) of relative luminances.
 * Source: W3C, Web Content Accessibility Guidelines (WCAG) 2.2, definitions "contrast ratio" and "relative luminance";
 * criteria 1.4.3 (text 4.5 : 1) and 1.4.11 (controls 3 : 1).
 */
function contrast(a: string, b: string): number {
  const [dark, light] = [luminance(a), luminance(b)].toSorted((x, y) => x - y)
  return (light! + 0.05) / (dark! + 0.05)
}

function luminance(hex: string): number {
  const linear = (at: number) => {
    const v = Number.parseInt(hex.slice(at, at + 2), 16) / 255
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4
  }
  return 0.2126 * linear(1) + 0.7152 * linear(3) + 0.0722 * linear(5)
}

const css = readFileSync(join(import.meta.dirname, '../../renderer/styles/tokens.css'), 'utf8')

/** The colours that a block of tokens.css sets. */
function tokensOf(selector: string): Map<string, string> {
  const block = new RegExp(`(?:^|,|\\n)${selector.replaceAll(/[[\]"]/g, String.raw`\$&`)}\\s*\\{([^}]*)\\}`).exec(
    css,
  )?.[1]
  if (block === undefined) throw new Error(`tokens.css has no block ${selector}`)
  return new Map([...block.matchAll(/--([\w-]+):\s*(#[0-9a-f]{6})\b/gi)].map((found) => [found[1]!, found[2]!]))
}

const everywhere = tokensOf(':root')
const themes = {
  bench: new Map([...everywhere, ...tokensOf('[data-theme="bench"]')]),
  office: new Map([...everywhere, ...tokensOf('[data-theme="office"]')]),
}

const surfaces = ['wall', 'top', 'sheet', 'field', 'pick']
const textPairs: [text: string, on: string][] = [
  ...surfaces.flatMap((on): [string, string][] => [
    ['ink', on],
    ['ink-2', on],
  ]),
  ['on-fill', 'fill'],
  ['on-well', 'well'],
  ['on-well', 'well-field'],
]
/** Outlines that make a control a control, and frames that say "chosen". */
const controlPairs: [line: string, on: string][] = [
  ...['wall', 'top', 'sheet'].flatMap((on): [string, string][] => [
    ['edge', on],
    ['frame', on],
    ['fill', on],
  ]),
  ['on-well', 'well'],
  ['ring-in', 'ring-out'],
]

describe('the formula', () => {
  it('gives the figures that WCAG and everybody else give', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10)
    // a widely printed example: #767676 is the lightest grey with 4.5 : 1 on white, #777777 has less
    expect(contrast('#767676', '#ffffff')).toBeGreaterThanOrEqual(4.5)
    expect(contrast('#777777', '#ffffff')).toBeLessThan(4.5)
  })
})

describe.each(Object.entries(themes))('theme %s', (_, tokens) => {
  const colour = (name: string) => {
    const found = tokens.get(name)
    if (!found) throw new Error(`no token --${name}`)
    return found
  }

  it.each(textPairs)('text --%s on --%s has 4.5 : 1', (text, on) => {
    expect(contrast(colour(text), colour(on))).toBeGreaterThanOrEqual(4.5)
  })

  it.each(controlPairs)('--%s against --%s has 3 : 1', (line, on) => {
    expect(contrast(colour(line), colour(on))).toBeGreaterThanOrEqual(3)
  })

  it('has no colour: only paint is coloured', () => {
    for (const [name, hex] of tokens) {
      const channels = [hex.slice(1, 3), hex.slice(3, 5), hex.slice(5, 7)]
      expect(new Set(channels).size, `--${name}: ${hex}`).toBe(1)
    }
  })

  it('judges paint on #777777', () => expect(colour('well')).toBe('#777777'))
})
