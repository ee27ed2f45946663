import { useState } from 'react'
import { Details } from '../../frame/details.tsx'
import { useAnswer } from '../../state/asking.ts'
import { licences } from './licences.ts'
import { NoticesDialog } from './notices-dialog.tsx'

/** Versions for a report, and what this program is built from. */
export function About() {
  const { value, error } = useAnswer('service.describe', {})
  const [reading, setReading] = useState(false)
  return (
    <>
      <section className="block">
        <h2>Versions</h2>
        {error ? (
          <p>{`${error.message} ${error.remedy}`}</p>
        ) : (
          <dl className="settings-versions">
            {(
              [
                ['Overground', value?.version],
                ['Node', value?.node],
                ['SQLite', value?.sqlite],
                ['sharp', value?.sharp],
              ] as const
            ).map(([name, version]) => (
              <div key={name}>
                <dt>{name}</dt>
                <dd className="num">{version ?? ''}</dd>
              </div>
            ))}
          </dl>
        )}
        <p className="fine">When something goes wrong again and again, this is what somebody needs who is to help.</p>
        <Details />
      </section>
      <section className="block">
        <h2>Licences</h2>
        <p className="fine">Overground is under the MIT licence and stands on the work of others:</p>
        <dl className="settings-versions">
          {licences.map(({ name, licence }) => (
            <div key={name}>
              <dt>{name}</dt>
              <dd className="num">{licence}</dd>
            </div>
          ))}
        </dl>
        <button type="button" className="btn" onClick={() => setReading(true)}>
          Read all licences
        </button>
      </section>
      {reading ? <NoticesDialog onClose={() => setReading(false)} /> : null}
    </>
  )
}
