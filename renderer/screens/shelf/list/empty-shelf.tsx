import { newPanel } from '../../../commands/rack/new-panel.ts'
import { newMaterial } from '../../../commands/shelf/new-material.ts'
import { CommandButton } from '../../../parts/command-button.tsx'

export function EmptyShelf() {
  return (
    <main className="shelf shelf-none scroll" aria-label="Shelf">
      <h1 className="title">Nothing on the shelf yet</h1>
      <p className="lead">Whatever a formula names is put here by itself. Or put up what you have, and count it.</p>
      <ol>
        <li>
          <b>Put up what you mix with</b>
          <span>Concentrates, carriers, hardeners, reducers; each with a name of its own.</span>
        </li>
        <li>
          <b>Say how much there is</b>
          <span>
            Weigh or measure it once. What is poured at the bench comes off by itself, and the shelf says what to buy
            again.
          </span>
        </li>
        <li>
          <b>Write down what its data sheets say</b>
          <span>Density, solids, pot life, isocyanates. Keep the sheets themselves here too.</span>
        </li>
      </ol>
      <p className="shelf-acts">
        <CommandButton command={newMaterial} look="main" />
        <CommandButton command={newPanel} />
      </p>
    </main>
  )
}
