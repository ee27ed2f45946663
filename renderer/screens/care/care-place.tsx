import './care.css'
import { PlaceLink } from '../../parts/place-link.tsx'
import { type CarePage, carePages } from '../../state/router.ts'
import { ArchivePage } from './archive/archive-page.tsx'
import { BackupsPage } from './backups/backups-page.tsx'
import { CheckPage } from './check/check-page.tsx'
import { HistoryPage } from './history/history-page.tsx'

const names: Readonly<Record<CarePage, string>> = {
  backups: 'Backups',
  archive: 'Archive and exchange',
  check: 'Check and repair',
  history: 'History',
}

/** What keeps a rack from being lost: each page has its own address. */
export function CarePlace({ page }: { page: CarePage }) {
  return (
    <main className="care scroll" aria-label="Safe keeping">
      <div className="care-head">
        <h1 className="title">Safe keeping</h1>
        <nav className="pair" aria-label="Pages of safe keeping">
          {carePages.map((one) => (
            <PlaceLink
              to={{ at: 'care', page: one }}
              key={one}
              className="btn"
              aria-current={one === page ? 'page' : undefined}
            >
              {names[one]}
            </PlaceLink>
          ))}
        </nav>
      </div>
      {page === 'backups' ? <BackupsPage /> : null}
      {page === 'archive' ? <ArchivePage /> : null}
      {page === 'check' ? <CheckPage /> : null}
      {page === 'history' ? <HistoryPage /> : null}
    </main>
  )
}
