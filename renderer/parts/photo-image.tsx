import { type CSSProperties, type ReactNode, useState } from 'react'
import { useStore } from '../state/store.ts'

type Props = {
  src: string
  alt: string
  /** What stands there when the picture cannot be had: its original is gone, and no small picture is left. */
  none: ReactNode
  className?: string
  style?: CSSProperties
  lazy?: boolean
  onShown?: (width: number) => void
  onNone?: () => void
}

/** A picture of a photo, or words in its place. Whatever changes in the rack, it is asked for again. */
export function PhotoImage({ src, alt, none, className, style, lazy, onShown, onNone }: Props) {
  const revision = useStore((s) => s.rack?.revision ?? 0)
  const [failed, setFailed] = useState<string | null>(null)
  const asked = `${revision} ${src}`
  if (failed === asked) return none
  return (
    <img
      className={className}
      src={src}
      alt={alt}
      aria-label={alt === '' ? undefined : `Photo ${alt}`}
      draggable={false}
      loading={lazy ? 'lazy' : undefined}
      style={style}
      onLoad={(event) => onShown?.(event.currentTarget.naturalWidth)}
      onError={() => {
        setFailed(asked)
        onNone?.()
      }}
    />
  )
}
