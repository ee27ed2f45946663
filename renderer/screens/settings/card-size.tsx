import { useId, useState } from 'react'
import { formatShort, parseNumber } from '../../../shared-core/mix/units.ts'
import type { Settings } from '../../../shared-core/records/settings.ts'
import { FieldError } from '../../parts/field-error.tsx'
import { decimalSign } from '../../parts/say-numbers.ts'
import { useStore } from '../../state/store.ts'
import { keepSettings } from './keep-settings.ts'

const most = 1000
type Side = 'width' | 'height'
type Texts = Record<Side, string>

/** The card's outer size: both sides, or neither. Kept when a field is left and both make sense together. */
export function CardSize() {
  const id = useId()
  const size = useStore((s) => s.settings.cardSizeMm)
  const sign = useStore((s) => decimalSign(s.settings))
  const shown = textsOf(size, sign)
  const [texts, setTexts] = useState(shown)
  const [seen, setSeen] = useState(size)
  const [left, setLeft] = useState(false)
  if (seen !== size) {
    setSeen(size)
    setTexts(shown)
  }
  const read = sizeIn(texts)
  const keep = () => {
    setLeft(true)
    if (read === 'wrong' || read === 'half') return
    if (JSON.stringify(read) !== JSON.stringify(size)) void keepSettings({ cardSizeMm: read })
  }
  const wrong = left && read === 'wrong'
  const field = (side: Side, label: string) => (
    <div className="field">
      <span>
        <label htmlFor={`${id}-${side}`}>{label}</label>
      </span>
      <input
        id={`${id}-${side}`}
        className="input num"
        inputMode="decimal"
        autoComplete="off"
        value={texts[side]}
        aria-invalid={wrong}
        aria-describedby={wrong ? `${id}-error` : undefined}
        onChange={(event) => {
          setLeft(false)
          setTexts({ ...texts, [side]: event.target.value })
        }}
        onBlur={keep}
        onKeyDown={(event) => {
          if (event.key === 'Enter') keep()
        }}
      />
    </div>
  )
  return (
    <>
      <div className="settings-size">
        {field('width', 'Its width, mm')}
        {field('height', 'Its height, mm')}
      </div>
      <FieldError
        id={`${id}-error`}
        said={wrong ? { message: 'Not kept.', remedy: `Write millimetres, more than 0 and up to ${most}.` } : null}
      />
      <p className="fine">
        {read === 'half'
          ? 'Both sides are needed before the size counts.'
          : read === null
            ? 'Measured to its edges, the card gives each photo its scale: grain in millimetres, glints for each cm². Empty: no scale.'
            : 'Mark the card to its edges in each photo, and grain is given in millimetres and glints for each cm².'}
      </p>
    </>
  )
}

function textsOf(size: Settings['cardSizeMm'], sign: 'comma' | 'point'): Texts {
  const text = (value: number | undefined) => (value === undefined ? '' : formatShort(value, 1, sign))
  return { width: text(size?.width), height: text(size?.height) }
}

function sizeIn(texts: Texts): Settings['cardSizeMm'] | 'half' | 'wrong' {
  const written = [texts.width, texts.height].map((text) => text.trim())
  const [width, height] = written.map((text) => (text === '' ? null : parseNumber(text)))
  const isWrong = written.some((text, i) => {
    const value = [width, height][i]
    return text !== '' && (value === null || value === undefined || value <= 0 || value > most)
  })
  if (isWrong) return 'wrong'
  if (width === null && height === null) return null
  return width && height ? { width, height } : 'half'
}
