import { useMemo, useState } from 'react'
import { parseFormula } from '../../../../shared-core/mix/formula.ts'
import { formulaInWords } from '../../../../shared-core/mix/formula-words.ts'
import type { Basis } from '../../../../shared-core/records/mixture.ts'
import { noFilter } from '../../../../shared-core/records/panel.ts'
import { Caution } from '../../../parts/caution.tsx'
import { decimalSign } from '../../../parts/say-numbers.ts'
import { useAnswer } from '../../../state/asking.ts'
import { go, type MixFrom } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { useRested } from '../../../state/use-rested.ts'
import { withBasis } from '../with-basis.ts'

const mixFrom = (from: MixFrom) => go({ at: 'mix', cupId: null, from })

/** What to mix: a panel, a job, or a formula as it is typed. */
export function NewCup() {
  return (
    <aside className="mix-new scroll" aria-label="New cup">
      <h1 className="say">New cup</h1>
      <OfPanel />
      <OfJob />
      <OfFormula />
    </aside>
  )
}

/** Panels offered at once: more words narrow them. */
const offered = 8

function OfPanel() {
  const [typed, setTyped] = useState('')
  const words = useRested(typed.trim(), typed.trim(), 150)
  const { value } = useAnswer(
    'panels.list',
    words === '' ? null : { filter: { ...noFilter, words: words.slice(0, 200) }, sort: 'code', limit: offered },
  )
  const panels = words === '' ? [] : (value?.panels ?? [])
  return (
    <section className="block">
      <h2>Of a panel</h2>
      <form
        className="mix-search"
        onSubmit={(event) => {
          event.preventDefault()
          if (panels[0]) mixFrom({ kind: 'panel', key: panels[0].code })
        }}
      >
        <label className="field">
          <span>Code, title or colour</span>
          <input className="input" type="search" value={typed} onChange={(event) => setTyped(event.target.value)} />
        </label>
      </form>
      {words !== '' && value && panels.length === 0 ? (
        <p className="fine">No panel says that. Try its code, a word of its title, or a ground.</p>
      ) : null}
      <ul className="mix-found">
        {panels.slice(0, offered).map((panel) => (
          <li key={panel.id}>
            <button type="button" className="btn" onClick={() => mixFrom({ kind: 'panel', key: panel.code })}>
              <b className="num">{panel.code}</b>
              <span>{[panel.title, panel.ground].filter(Boolean).join(', ')}</span>
            </button>
          </li>
        ))}
      </ul>
      {panels.length > offered ? (
        <p className="fine">{panels.length - offered} more: another word narrows them.</p>
      ) : null}
    </section>
  )
}

function OfJob() {
  const { value } = useAnswer('customerJobs.list', { open: true })
  const jobs = (value?.jobs ?? []).filter((job) => job.formula !== null)
  return (
    <section className="block">
      <h2>For a job</h2>
      {value && jobs.length === 0 ? (
        <p className="fine">
          {value.jobs.length === 0 ? 'There is no open job.' : 'No open job has its formula yet: choose one in Jobs.'}
        </p>
      ) : null}
      <ul className="mix-found">
        {jobs.slice(0, offered).map((job) => (
          <li key={job.id}>
            <button type="button" className="btn" onClick={() => mixFrom({ kind: 'job', key: job.code })}>
              <b className="num">{job.code}</b>
              <span>{[job.title, job.customer].filter(Boolean).join(', ')}</span>
            </button>
          </li>
        ))}
      </ul>
    </section>
  )
}

function OfFormula() {
  const { value } = useAnswer('materials.list', {})
  const decimal = useStore((s) => decimalSign(s.settings))
  const known = useMemo(() => (value?.materials ?? []).map(({ id, name, kind }) => ({ id, name, kind })), [value])
  const [text, setText] = useState('')
  const [basis, setBasis] = useState<Basis | null>(null)
  const read = text.trim() === '' ? null : parseFormula(text, { known, decimal })
  const mixture = read?.ok ? (basis ? withBasis(read.mixture, basis) : read.mixture) : null
  return (
    <section className="block">
      <h2>Of a formula</h2>
      <form
        className="mix-formula"
        onSubmit={(event) => {
          event.preventDefault()
          if (mixture) mixFrom({ kind: 'formula', key: formulaInWords(mixture, typing).join('; ') })
        }}
      >
        <label className="field">
          <span>As you would write it on the back</span>
          <input
            className="input"
            value={text}
            placeholder="4:1 copper + crimson, in 6:1 carrier"
            onChange={(event) => setText(event.target.value)}
          />
        </label>
        {read && !read.ok ? <Caution message={read.message} remedy={read.remedy} /> : null}
        {mixture && read?.ok ? (
          <>
            {formulaInWords(mixture, { decimal }).map((line) => (
              <p key={line}>{line}</p>
            ))}
            {read.basisAssumed ? (
              <div className="pair" role="group" aria-label="Parts are meant by">
                {(['volume', 'mass'] as const).map((each) => (
                  <button key={each} type="button" aria-pressed={mixture.basis === each} onClick={() => setBasis(each)}>
                    By {each}
                  </button>
                ))}
              </div>
            ) : null}
            {read.warnings.map((warning) => (
              <Caution key={warning} message={warning} />
            ))}
          </>
        ) : null}
        <button type="submit" className="btn main" aria-disabled={mixture === null}>
          Say how much
        </button>
      </form>
    </section>
  )
}

/** The address keeps the formula as it can be typed again, whatever the user's decimal sign is. */
const typing = { decimal: 'point', forTyping: true } as const
