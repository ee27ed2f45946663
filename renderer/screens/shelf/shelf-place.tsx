export function ShelfPlace({ materialId }: { materialId: string | null }) {
  return <main className="shelf-place">{materialId}</main>
}
