package finish

import (
	"fmt"

	"scumble/appearance/stroke"
	"scumble/catalog"
	"scumble/job"
)

// flows is the part of its open time in which a glaze still flows out as it did at
// first, for it thickens all the while; from memory, our own.
const flows = 0.25

// recipe is how a finish is worked, by the figures of its technique.
func recipe(f *job.Finish, t *catalog.Technique, product *catalog.Product, laid [2]float64) stroke.Recipe {
	r := stroke.Recipe{Technique: f.Technique, Variation: f.Variation, Laid: laid, Lifted: t.Lifted.Likely, Figures: map[string]float64{}}
	for name, figure := range t.Strokes {
		r.Figures[name] = figure.Likely
	}
	if product.Body != nil && product.Tension != nil {
		r.Levelling = stroke.Levelling{Viscosity: product.Body.Likely, Tension: product.Tension.Likely / 1000, Time: flows * 3600 * product.Drying.Open.Likely}
	}
	return r
}

// filmAsLaid is the wet film of a role of a technique, um: 1000 over the spreading
// rate of the ready mix (ISO 3233-3), which a step may set for itself.
func filmAsLaid(t *catalog.Technique, product *catalog.Product, role catalog.Role) (Span, error) {
	spread := product.Spread
	for _, s := range t.Steps {
		if s.Role == role && s.Spread != nil {
			spread = *s.Spread
			break
		}
	}
	weight := perKg(product, spread.Unit)
	if !(min(spread.Low, spread.Likely)*weight > 0) {
		return Span{}, fmt.Errorf("products/%s/spread: there is no spreading rate above zero; give one in m2 per litre or, with the density, per kg", product.ID)
	}
	return Span{Low: 1000 / (spread.High * weight), Likely: 1000 / (spread.Likely * weight), High: 1000 / (spread.Low * weight)}, nil
}

// perKg is what makes a spreading rate one by volume: the density, kg/L, where it is
// told by weight, else 1.
func perKg(product *catalog.Product, unit string) float64 {
	if unit == "m2/kg" {
		return product.Density.Likely
	}
	return 1
}
