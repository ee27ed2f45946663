import './build.css'
import type { CSSProperties } from 'react'
import { formulaInWords } from '../../../../shared-core/mix/formula-words.ts'
import type { Band, Layer, LayerKind, Panel } from '../../../../shared-core/records/panel.ts'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { layerKindInWords } from '../../../parts/layer-kinds.ts'
import { decimalSign } from '../../../parts/say-numbers.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { useStore } from '../../../state/store.ts'
import { coatsFromTop } from './coats-from-top.ts'
import { PartsBar } from './parts-bar.tsx'

/** Drawn height of one coat. Not to scale: what takes part in the colour is drawn thicker. */
const coatPx: Record<LayerKind, number> = {
  sealer: 44,
  undercoat: 36,
  ground: 30,
  candy: 38,
  solid: 38,
  'mid-coat': 26,
  'barrier-clear': 24,
  clear: 24,
}
const leastPx = 48
const mostPx = 176

/** The build as a cross-section, substrate at the foot, each layer with what it is made of. */
export function Build({ panel, bands }: { panel: Panel; bands: Band[] }) {
  const coloured = panel.layers.filter((layer) => layer.kind === 'candy' || layer.kind === 'solid')
  const fromTop = panel.layers.toReversed()
  return (
    <div className="panel-build">
      <h2 className="railname">Build, top to bottom</h2>
      <ol>
        {fromTop.map((layer, i) => (
          <LayerRow
            key={layer.id ?? i}
            layer={layer}
            bands={layer.kind === 'ground' || (coloured.length === 1 && coloured[0] === layer) ? bands : []}
            ladder={panel.steps.length > 1 && (layer.kind === 'candy' || layer.kind === 'solid')}
          />
        ))}
        <li>
          <span />
          <span className="panel-cut is-substrate" style={{ ['--h' as string]: `${leastPx}px` }} />
          <div className="panel-what">
            <b className="panel-substrate">{panel.substrate || 'Substrate not written down'}</b>
          </div>
        </li>
      </ol>
      <p className="fine">
        {panel.layers.length === 0
          ? 'No layer is written down yet: Edit adds them, from the substrate up.'
          : 'Thickness not to scale. A line is where one coat ends.'}
      </p>
    </div>
  )
}

function LayerRow({ layer, bands, ladder }: { layer: Layer; bands: Band[]; ladder: boolean }) {
  const decimal = useStore((s) => decimalSign(s.settings))
  const height = Math.min(mostPx, Math.max(leastPx, layer.coats * coatPx[layer.kind]))
  const lines = layer.mixture ? formulaInWords(layer.mixture, { decimal }) : []
  return (
    <li>
      <span className="panel-coats num">{layer.coats}</span>
      <Cut layer={layer} bands={bands} height={height} />
      <div className="panel-what">
        <b>{[layerKindInWords[layer.kind], layer.name].filter(Boolean).join(', ')}</b>
        <span>
          {coatsInWords(layer.coats)}
          {ladder ? ', taped in steps' : ''}
        </span>
        {lines.map((line) => (
          <p key={line} className={layer.kind === 'candy' || layer.kind === 'solid' ? '' : 'fine'}>
            {line}
          </p>
        ))}
        {layer.mixture && (layer.kind === 'candy' || layer.kind === 'mid-coat') ? (
          <PartsBar mixture={layer.mixture} />
        ) : null}
        {layer.notes.trim() === '' ? null : <p className="fine">{layer.notes}</p>}
      </div>
    </li>
  )
}

/** A layer cut through. Paint is drawn only where this panel's own photo or reading shows it. */
function Cut({ layer, bands, height }: { layer: Layer; bands: Band[]; height: number }) {
  const coats = Math.max(1, Math.ceil(layer.coats))
  const style: CSSProperties = { ['--h' as string]: `${height}px`, ['--coats' as string]: coats }
  const bare = layer.kind === 'ground' ? bands.find((band) => band.coats === 0) : undefined
  const shown = layer.kind === 'ground' ? [] : coatsFromTop(layer.coats, bands)
  return (
    <span className={`panel-cut is-${layer.kind}`} style={style} aria-hidden="true">
      {bare ? <Paint lab={bare.lab} cut={bare.cut} label="" /> : null}
      {shown.map((band, i) => (
        <Paint key={i} lab={band.lab} label="" flat />
      ))}
      <span className="panel-lines">
        {Array.from({ length: coats - 1 }, (_, i) => (
          <i key={i} style={{ top: `${((i + 1) / coats) * 100}%` }} />
        ))}
      </span>
    </span>
  )
}
