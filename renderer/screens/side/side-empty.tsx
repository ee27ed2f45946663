import { go } from '../../state/router.ts'

/** Nothing, or one thing alone: what to do. */
export function SideEmpty({ alone }: { alone: boolean }) {
  return (
    <section className="side-empty" aria-label={alone ? 'One more makes a pair' : 'Nothing lies here yet'}>
      {alone ? <h2 className="lead">One more makes a pair</h2> : <h1 className="title">Lay colours side by side</h1>}
      <p>
        {alone
          ? 'Lay another panel beside this one: '
          : 'Two to six panels, references or points of a photo, touching, each with its correction: '}
        choose panels on the rack and press “Side by side”, or pin candidates in Match.
      </p>
      <p className="side-empty-acts">
        <button type="button" className="btn main" onClick={() => go({ at: 'rack' })}>
          Choose on the rack
        </button>
        <button type="button" className="btn" onClick={() => go({ at: 'match', referenceId: null })}>
          Pin in Match
        </button>
      </p>
    </section>
  )
}
