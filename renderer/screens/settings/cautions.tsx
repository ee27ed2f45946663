import { Caution } from '../../parts/caution.tsx'

/** What holds everywhere; the same cautions stand beside the steps they concern. */
export function Cautions() {
  return (
    <section className="block settings-cautions">
      <h2>Cautions</h2>
      <Caution
        message="Catalysed paints contain isocyanates."
        remedy="Smell is no warning, and they can sensitise for life, also when mixing, cleaning guns and sanding fresh film. Wear what the product’s safety data sheet asks for; nobody unprotected in the booth while it purges."
      />
      <Caution
        message="Solvent vapour ignites."
        remedy="This computer, phones, printers and foot switches stay out of spray and mixing areas while vapour is present. Photograph after the booth has purged; take a printed card to the bench."
      />
      <Caution
        message="Ventilation, pressure, waste, local rules."
        remedy="The product’s technical and safety data sheets, local rules and licensed practice come before anything shown here."
      />
      <Caution
        message="A photo is an estimate, a prediction is not a panel, a screen is a preview."
        remedy="Judge panel against part under the customer’s light, and spray a check panel before the job."
      />
    </section>
  )
}
