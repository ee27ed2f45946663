import { useState } from 'react'
import { sameSize } from '../../../shared-core/label/sheet/paper.ts'
import { parseNumber } from '../../../shared-core/mix/units.ts'
import { Caution } from '../../parts/caution.tsx'

type Size = { widthMm: number; heightMm: number }
type Limits = { least: Size; most: Size }

type Props = {
  /** What it is the size of: "label", "card", "page". */
  of: string
  offered: readonly { name: string; size: Size }[]
  size: Size
  limits: Limits
  onSize: (size: Size) => void
}

/** A usual size, or one typed in millimetres. */
export function ChooseSize({ of, offered, size, limits, onSize }: Props) {
  const isOffered = offered.some((one) => sameSize(one.size, size))
  const [free, setFree] = useState(!isOffered)
  return (
    <div className="print-choice">
      <p className="fine">Size of the {of}</p>
      <div className="print-pair" role="group" aria-label={`Size of the ${of}`}>
        {offered.map((one) => (
          <button
            key={one.name}
            type="button"
            aria-pressed={!free && sameSize(one.size, size)}
            onClick={() => {
              setFree(false)
              onSize(one.size)
            }}
          >
            {one.name}
          </button>
        ))}
        <button type="button" aria-pressed={free} onClick={() => setFree(true)}>
          Other size
        </button>
      </div>
      {free ? <FreeSize of={of} size={size} limits={limits} onSize={onSize} /> : null}
    </div>
  )
}

type FreeProps = Pick<Props, 'of' | 'size' | 'limits' | 'onSize'>

export function FreeSize({ of, size, limits, onSize }: FreeProps) {
  const [width, setWidth] = useState(shortMm(size.widthMm))
  const [height, setHeight] = useState(shortMm(size.heightMm))
  const { least, most } = limits
  const typed = sizeIn(width, height, limits)
  const take = (nextWidth: string, nextHeight: string) => {
    setWidth(nextWidth)
    setHeight(nextHeight)
    const asked = sizeIn(nextWidth, nextHeight, limits)
    if (asked) onSize(asked)
  }
  return (
    <>
      <div className="print-fields">
        <label className="field">
          <span>Width in mm</span>
          <input
            className="input"
            inputMode="decimal"
            aria-invalid={!typed}
            value={width}
            onChange={(e) => take(e.target.value, height)}
          />
        </label>
        <label className="field">
          <span>Height in mm</span>
          <input
            className="input"
            inputMode="decimal"
            aria-invalid={!typed}
            value={height}
            onChange={(e) => take(width, e.target.value)}
          />
        </label>
      </div>
      {typed ? null : (
        <Caution
          message={`A ${of} is ${least.widthMm} to ${most.widthMm} mm wide and ${least.heightMm} to ${most.heightMm} mm high.`}
          remedy="Type both in millimetres."
        />
      )}
    </>
  )
}

const shortMm = (value: number): string => String(Number(value.toFixed(2)))

/** The size typed, or null when it is none that there can be. */
function sizeIn(width: string, height: string, { least, most }: Limits): Size | null {
  const [widthMm, heightMm] = [parseNumber(width), parseNumber(height)]
  if (widthMm === null || widthMm < least.widthMm || widthMm > most.widthMm) return null
  if (heightMm === null || heightMm < least.heightMm || heightMm > most.heightMm) return null
  return { widthMm, heightMm }
}

export const labelLimits: Limits = {
  least: { widthMm: 20, heightMm: 12 },
  most: { widthMm: 300, heightMm: 300 },
}
export const paperLimits: Limits = {
  least: { widthMm: 50, heightMm: 50 },
  most: { widthMm: 450, heightMm: 450 },
}
