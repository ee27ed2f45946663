import type { GunSetup, Layer, PanelDraft } from '../../../../shared-core/records/panel.ts'
import { type Ground, grounds, pearls } from '../palette.ts'
import type { Random } from '../random.ts'
import { barrierMixture, baseMixture, candyMixture, clearMixture, midCoatMixture, sealerMixture } from './mixtures.ts'
import type { PanelIdea } from './panels.ts'

const gun = (
  name: string,
  gunName: string,
  tipMm: number,
  inletKpa: number,
  distanceMm: number,
  overlapPercent: number,
): GunSetup => ({
  id: null,
  name,
  gun: gunName,
  tipMm,
  inletKpa,
  capKpa: null,
  distanceMm,
  overlapPercent,
})

/** Invented gun set-ups; `build` is how much film each lays compared with the usual one. */
export const guns = {
  usual: { setup: gun('Bench gun, 1.3', 'low-pressure gravity gun', 1.3, 110, 150, 75), build: 1 },
  small: { setup: gun('Small gun, 0.8', 'small gravity gun', 0.8, 140, 110, 75), build: 0.93 },
  old: { setup: gun('Old gun, 1.4, wide', 'old gravity gun', 1.4, 125, 180, 66), build: 1.12 },
  flake: { setup: gun('Flake gun, 1.8', 'low-pressure gravity gun', 1.8, 100, 200, 50), build: 1 },
} as const

export const gunOf = (idea: PanelIdea) => guns[idea.gun ?? 'usual']

const dayMs = 86_400_000
const firstDay = Date.UTC(2023, 10, 7)

const spanDays = 1080
/** When the tray was last filled. */
export const lastDay = new Date(firstDay + (spanDays + 12) * dayMs + 15 * 3_600_000)

/** Three years of spraying, one panel after another, a little uneven. */
export const sprayDay = (index: number, count: number, random: Random): Date =>
  new Date(firstDay + Math.round(((index + random.between(0, 0.8)) / count) * spanDays) * dayMs)

export const dayOf = (date: Date): string => date.toISOString().slice(0, 10)

const layer = (kind: Layer['kind'], name: string, coats: number, more: Partial<Layer> = {}): Layer => ({
  id: null,
  kind,
  name,
  coats,
  mixture: null,
  gunSetup: null,
  booth: null,
  notes: '',
  ...more,
})

/** A panel as its painter would have typed it in. */
export function draftOf(idea: PanelIdea, sprayed: Date, random: Random): PanelDraft {
  const ground: Ground = grounds[idea.ground]
  const summer = Math.sin(((sprayed.getUTCMonth() - 3) / 6) * Math.PI)
  const booth = {
    temperatureC: Math.round(20 + 4 * summer + random.between(-1, 1)),
    humidityPercent: Math.round(52 - 6 * summer + random.between(-6, 6)),
    flashOffMin: random.pick([6, 8, 8, 10]),
    reducerGrade: summer > 0.6 ? 'slow' : 'medium',
  }
  const usual = guns.usual.setup
  const candy = layer('candy', '', Math.max(...idea.steps), {
    mixture: candyMixture(idea),
    gunSetup: gunOf(idea).setup,
    booth,
    notes: idea.blend.length > 1 && random.chance(0.3) ? 'Strained at 125 µm, stood 15 minutes.' : '',
  })
  const mid = idea.mid
    ? [
        layer('mid-coat', pearls[idea.mid.pearl].name, idea.mid.coats, {
          mixture: midCoatMixture(idea.mid.pearl),
          gunSetup: idea.mid.pearl === 'stardrift' ? guns.flake.setup : usual,
        }),
      ]
    : []
  const white = idea.ground === 'white'
  const layers = [
    layer('sealer', 'mid grey', 1, { mixture: sealerMixture() }),
    ...(ground.hides ? [] : [layer('undercoat', 'light grey', 1, { mixture: baseMixture('Light grey base') })]),
    layer('ground', ground.name, white ? 3 : 2, {
      mixture: baseMixture(`${capital(ground.name)} base`),
      gunSetup: usual,
    }),
    ...(idea.mid?.under ? mid : []),
    candy,
    ...(idea.mid && !idea.mid.under ? mid : []),
    ...(white && idea.cleared ? [layer('barrier-clear', 'barrier clear', 1, { mixture: barrierMixture() })] : []),
    ...(idea.cleared
      ? [layer('clear', 'gloss', idea.mid?.pearl === 'stardrift' ? 3 : 2, { mixture: clearMixture(), gunSetup: usual })]
      : []),
  ]
  const planned = idea.status === 'planned'
  return {
    id: null,
    code: null,
    title: idea.title,
    status: idea.status ?? 'sprayed',
    sprayedOn: planned ? null : dayOf(sprayed),
    sprayedBy: planned ? '' : random.pick(['Wren', 'Wren', 'Ida']),
    substrate: random.pick([
      'steel, 0.8 mm, sanded P400',
      'steel, 0.8 mm, sanded P400',
      'aluminium, 1 mm, sanded P400',
    ]),
    notes: idea.notes ?? '',
    tags: [...(idea.tags ?? [])],
    layers: planned ? layers.map((each) => ({ ...each, booth: null })) : layers,
    steps: idea.steps.map((coats) => ({ id: null, coats, notes: '' })),
  }
}

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1)
