export function JobsPlace({ jobKey }: { jobKey: string | null }) {
  return <main className="jobs-place">{jobKey}</main>
}
