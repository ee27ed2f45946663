// The scenarios run in a window only when an executable is named; without one they would quietly run in a browser.
if (!process.env.OVERGROUND_ELECTRON) {
  console.error(
    'Name an executable that starts the built application: OVERGROUND_ELECTRON=/path/to/it npm run test:window',
  )
  process.exit(1)
}
