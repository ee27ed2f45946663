/** Shown when the page was opened without its key, or the host has ended. */
export function NotEntered() {
  return (
    <main className="centred">
      <h1 className="say">This page has lost its way to Overground</h1>
      <p>
        Open the address that was printed when Overground started: it holds this start’s key. If Overground was ended,
        start it again; your rack is safe.
      </p>
    </main>
  )
}
