import type { PhonePicture } from '../../../../shared-core/contract/phone-calls.ts'
import { client } from '../../../client/client.ts'
import { Triangle } from '../../../parts/icons.tsx'
import { PhotoImage } from '../../../parts/photo-image.tsx'

/** As many as fit beside the code. */
const most = 12

/** What came in, the newest first, with the word that its phone was told. */
export function SentPictures({ pictures }: { pictures: readonly PhonePicture[] }) {
  return (
    <ul className="phone-sent scroll" aria-label="Pictures that came in">
      {pictures.slice(0, most).map(({ id, name, sha256, words, isGood }) => (
        <li key={id}>
          <span className="phone-thumb">
            {sha256 === null ? null : (
              <PhotoImage src={client().pictureUrl(`photo/${sha256}/thumb`)} alt="" none={null} />
            )}
          </span>
          <span>
            <b>
              {words !== '' && !isGood ? <Triangle /> : null}
              {words === '' ? 'Arrived' : words}
            </b>
            <span className="fine">{name}</span>
          </span>
        </li>
      ))}
    </ul>
  )
}
