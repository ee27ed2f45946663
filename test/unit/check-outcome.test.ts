/** A check panel beside its reference: readings worked by hand, bounds by hypot (3 and 4 make 5). */
import { describe, expect, it } from 'vitest'
import { type CheckSeen, judgeCheck } from '../../shared-core/match/check-outcome.ts'
import type { Reading } from '../../shared-core/records/reading.ts'
import { reading } from '../rack/film-panels.ts'

const grey = (l: number) => ({ l, a: 0, b: 0 })
const wanted = (more: Partial<Reading> = {}): Reading => ({
  ...reading('', { lab: grey(50), bound90: 0.3, ...more }),
  stepId: null,
  referenceId: 'reference',
})
const read = (stepId: string, more: Partial<Reading> = {}): Reading => reading(stepId, { bound90: 0.4, ...more })

const seen = (readings: readonly Reading[], coats: readonly number[] = [4]): CheckSeen => ({
  checkId: 'check',
  panelId: 'panel',
  code: 'P-0100',
  steps: coats.map((each) => ({ id: `${each} coats`, coats: each })),
  readings,
})

describe('a check panel', () => {
  it('is within, beyond or in doubt as the tolerance lies outside, inside or in reach of the bound', () => {
    const panel = seen([read('4 coats', { lab: grey(52) })])
    const judge = (tolerance: number) => judgeCheck(panel, [wanted()], 4, tolerance).outcome
    const { de00, bound90 } = judge(1)
    // 0.3 and 0.4
    expect(bound90).toBeCloseTo(0.5, 9)
    // at L* 51, S_L = 1 + 0.015 / √21 (CIEDE2000 by its formula): 2 / 1.00327
    expect(de00).toBeCloseTo(2 / (1 + 0.015 / Math.sqrt(21)), 9)
    expect(judge(de00! + 0.51).verdict).toBe('within')
    expect(judge(de00! + 0.49).verdict).toBe('doubtful')
    expect(judge(de00! - 0.49).verdict).toBe('doubtful')
    expect(judge(de00! - 0.51).verdict).toBe('beyond')
    expect(judge(1).words).toMatch(/lighter\.$/i)
  })

  it('is compared at the coats of the job, else at the nearest, and says so', () => {
    const panel = seen(
      [read('2 coats', { lab: grey(60) }), read('4 coats', { lab: grey(50) }), read('6 coats', { lab: grey(40) })],
      [2, 4, 6],
    )
    expect(judgeCheck(panel, [wanted()], 4, 1).outcome).toMatchObject({ stepId: '4 coats', coats: 4, de00: 0 })
    const nearest = judgeCheck(panel, [wanted()], 7, 1).outcome
    expect(nearest).toMatchObject({ stepId: '6 coats', coats: 6 })
    expect(nearest.words).toContain('It has 6 coats, the job 7.')
  })

  it('in one photo with the reference counts as that photo shows both, though another looks better', () => {
    const shared = {
      photoId: 'one',
      bound90: 3,
      parts: [{ cause: 'light', de00: 2.95, words: '', shared: 'photo' as const }],
    }
    const panel = seen([
      read('4 coats', { lab: grey(50.2), photoId: 'other' }),
      read('4 coats', { ...shared, lab: grey(52) }),
    ])
    const references = [wanted({ photoId: 'another' }), wanted({ ...shared, lab: grey(50) })]
    const { outcome, pair } = judgeCheck(panel, references, 4, 1)
    expect(outcome.inOnePhoto).toBe(true)
    expect([pair?.check.photoId, pair?.reference.photoId]).toEqual(['one', 'one'])
    // what both share cancels: far less than hypot(3, 3)
    expect(outcome.bound90).toBeLessThan(1.5)
    expect(outcome.advice).not.toContain('one picture')
  })

  it('apart from the reference asks for one picture of both', () => {
    const judge = (check: string | null, reference: string | null) =>
      judgeCheck(seen([read('4 coats', { photoId: check })]), [wanted({ photoId: reference })], 4, 1).outcome
    const asked = /^Photograph reference and check panel in one picture/
    for (const outcome of [judge('one', 'another'), judge('one', null)]) {
      expect(outcome.inOnePhoto).toBe(false)
      expect(outcome.advice).toMatch(asked)
    }
    // two readings by an instrument gain nothing from a photo
    expect(judge(null, null).advice).not.toMatch(asked)
  })

  it('is compared by what is most like: the face under clear, not the flop', () => {
    const panel = seen([
      read('4 coats', { lab: grey(50), view: 'flop' }),
      read('4 coats', { lab: grey(55), stage: 'cleared' }),
    ])
    const { outcome, pair } = judgeCheck(panel, [wanted({ stage: 'cleared' })], 4, 1)
    expect(pair?.check.view).toBe('face')
    expect(outcome.words).not.toContain('Not alike')
    const flop = judgeCheck(seen([read('4 coats', { view: 'flop' })]), [wanted()], 4, 1).outcome
    expect(flop.words).toContain('Not alike: other view')
  })

  it('that was not read, or has no reference, is told as such', () => {
    expect(judgeCheck(seen([]), [wanted()], 4, 1)).toMatchObject({
      pair: null,
      outcome: { verdict: 'not-read', de00: null, bound90: null, words: 'The check panel has not been read yet.' },
    })
    const { outcome } = judgeCheck(seen([read('4 coats')]), [], 4, 1)
    expect(outcome).toMatchObject({ verdict: 'not-read', words: 'The reference has no reading yet.' })
  })
})
