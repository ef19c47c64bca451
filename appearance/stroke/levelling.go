package stroke

import "math"

// Levelling is how a wet film flows out after the tool has passed.
type Levelling struct {
	// Viscosity at rest, Pa s, and surface tension, N/m.
	Viscosity, Tension float64
	// Time is how long it flows before it sets, s. 0 leaves every mark as it was made.
	Time float64
}

// LevellingTime is the time, s, in which ripples of a wavelength in mm on a film in um
// sink to 1/e: tau = 3 eta (lambda/2 pi)^4 / (sigma h^3) (S. E. Orchard, "On surface
// levelling in viscous liquids and gels", Appl. Sci. Res. A 11, 451, 1962). A glaze
// with a yield stress keeps low ripples longer.
func LevellingTime(wavelength, film, viscosity, tension float64) float64 {
	k := 2 * math.Pi / (wavelength * 1e-3)
	h := film * 1e-6
	return 3 * viscosity / (tension * h * h * h * k * k * k * k)
}

// keeps is how much of the height of ripples is left when the film has set.
func (l Levelling) keeps(wavelength, film float64) float64 {
	if !(l.Time > 0 && l.Viscosity > 0 && l.Tension > 0 && film > 0) {
		return 1
	}
	return math.Exp(-l.Time / LevellingTime(wavelength, film, l.Viscosity, l.Tension))
}

// keeps is how much of ripples is left on the film of a recipe after the tool.
func (r *Recipe) keeps(wavelength float64) float64 {
	return r.Levelling.keeps(wavelength, r.Laid[0]*(1-r.Lifted))
}
