import { useRef } from 'react'
import { Caution } from '../../../parts/caution.tsx'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { takeInFiles } from '../hand-over.ts'

/** What phones and cameras make, by type and, where a system knows no type, by ending. */
const accepted =
  'image/jpeg,image/png,image/tiff,image/webp,image/avif,image/heic,image/heif,.jpg,.jpeg,.png,.tif,.tiff,.webp,.avif,.heic,.heif,.dng'

export function ChoosePhotos({ look = '' }: { look?: 'main' | '' }) {
  const input = useRef<HTMLInputElement>(null)
  return (
    <>
      <ChangeButton type="button" className={`btn ${look}`} onClick={() => input.current?.click()}>
        Choose photos
      </ChangeButton>
      <input
        ref={input}
        type="file"
        multiple
        hidden
        accept={accepted}
        aria-label="Choose photos"
        data-testid="photo-files"
        onChange={(event) => {
          const files = [...(event.target.files ?? [])]
          // So that the same file can be chosen again.
          event.target.value = ''
          void takeInFiles(files)
        }}
      />
    </>
  )
}

/** The same in few words, where photos wait already: they need the room. */
export function PurgedBriefly() {
  return <Caution message="Purge the booth" remedy="before you photograph." />
}

/** Stands wherever photos are asked for. */
export function Purged() {
  return <Caution message="Phones and cameras are ignition sources:" remedy="photograph after the booth has purged." />
}
