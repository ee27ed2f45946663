import { type ParsedFormula, parseFormula } from '../../shared-core/mix/formula.ts'
import type { Mixture } from '../../shared-core/records/mixture.ts'
import type { GunSetup, Layer, LayerKind, Panel } from '../../shared-core/records/panel.ts'

export const formula = (text: string): Mixture => {
  const read: ParsedFormula = parseFormula(text, { known: [] })
  if (!read.ok) throw new Error(`${text}: ${read.message}`)
  return read.mixture
}

export const gun: GunSetup = {
  id: null,
  name: 'bench gun',
  gun: '',
  tipMm: 1.3,
  inletKpa: 110,
  capKpa: null,
  distanceMm: 150,
  overlapPercent: 75,
}

export const layer = (kind: LayerKind, name: string, coats: number, more: Partial<Layer> = {}): Layer => ({
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

/** A panel of an invented workshop, with what a label usually says. */
export const panelWith = (more: Partial<Panel> = {}): Panel => ({
  id: 'panel-1',
  code: 'P-0042',
  title: 'Copper crimson over bright silver',
  status: 'sprayed',
  sprayedOn: '2031-03-14',
  sprayedBy: 'Robin',
  substrate: 'steel',
  notes: '',
  tags: [],
  layers: [
    layer('ground', 'bright silver', 2),
    layer('candy', '', 4, { mixture: formula('4:1 copper + crimson in 6:1 carrier by volume'), gunSetup: gun }),
    layer('clear', 'gloss clear', 2),
  ],
  steps: [{ id: 'step-1', coats: 4, notes: '' }],
  ...more,
})

/** Everything a build can hold: seven layers, four steps, mixtures three deep, two gun set-ups. */
export const longPanel = (): Panel =>
  panelWith({
    code: 'P-0107',
    title: 'Deep teal with violet shift for the river tank, third try after the mottled one',
    layers: [
      layer('sealer', 'mid grey', 1),
      layer('undercoat', 'white', 1),
      layer('ground', 'fine gold metallic', 3, {
        mixture: formula('4:1:1 gold base + hardener + slow reducer by volume'),
        gunSetup: gun,
      }),
      layer('candy', '', 4, {
        mixture: formula(
          'base blue = 6 ocean blue : 1 sea green : 0.5 deep violet, by volume\n' +
            'shade = 2 base blue : 1 smoke black, by volume\n' +
            '1 shade in 6 intercoat carrier, by volume, reducer 10 % on top',
        ),
        gunSetup: gun,
      }),
      layer('mid-coat', '', 2, {
        mixture: formula('25 g/L violet shift pearl in carrier'),
        gunSetup: { ...gun, tipMm: 1.4 },
      }),
      layer('barrier-clear', 'intercoat', 1),
      layer('clear', 'gloss clear', 2, { mixture: formula('2:1 clear + hardener by volume'), gunSetup: gun }),
    ],
    steps: [1, 2, 3, 4].map((coats) => ({ id: `step-${coats}`, coats, notes: '' })),
  })
