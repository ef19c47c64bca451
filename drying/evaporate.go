package drying

import (
	"fmt"
	"math"

	"scumble/unit"
)

// ReferenceSpeed of the air along a wall in a closed room, m/s (own default).
const ReferenceSpeed = 0.1

// closedFilm is the share of polymer at which a water-borne film closes and water
// has to find its way through a skin (Kiil 2006, Prog. Org. Coat. 57, 236).
const closedFilm = 0.74

// Evaporation is the water that leaves an open wet surface, kg/m2 h:
// E = 5 ((Tc+18)^2.5 - r (Ta+18)^2.5) (V+4) 1e-6 with C and km/h (Uno 1998, after
// the nomograph of ACI 305). Measurements lie within 40 % of it (Hover 2006).
func Evaporation(a Air, speed float64) float64 {
	warm := func(t unit.Temp) float64 { return math.Pow(max(0, float64(t)+18), 2.5) }
	return max(0, 5*(warm(a.Surface)-float64(a.Humidity)*warm(a.Temp))*(speed*3.6+4)*1e-6)
}

// WaterToLose is the water in g/m2 that leaves a film before it closes:
// h (1 - solids/0.74), h in um as laid (Kiil 2006).
func WaterToLose(film unit.Film, solids unit.Ratio) float64 {
	return float64(film) * max(0, 1-float64(solids)/closedFilm)
}

// Closes is when a water-borne film has lost that water, hours from start: a
// second opinion on a declared drying time, from film and air alone.
func Closes(film unit.Film, solids unit.Ratio, c Climate, start float64) (unit.Range[unit.Hours], error) {
	const spread = 0.4 // Hover 2006
	speed := c.speed()
	k := c.clock(func(a Air) float64 { return 1000 * Evaporation(a, speed) })
	water := WaterToLose(film, solids)
	r := unit.Range[unit.Hours]{Low: unit.Hours(k.after(start, water/(1+spread))), Likely: unit.Hours(k.after(start, water)), High: unit.Hours(k.after(start, water/(1-spread)))}
	if math.IsInf(float64(r.High), 1) {
		return r, fmt.Errorf("water does not leave a coat in this air: warm or dry the room first")
	}
	return r, nil
}

func (c Climate) speed() float64 {
	if c.Speed > 0 {
		return c.Speed
	}
	return ReferenceSpeed
}

// windy is how much faster water leaves a wet film in moving air than in that of
// the reference: (V+4)/(V0+4), km/h (Uno 1998).
func (c Climate) windy() float64 { return (c.speed()*3.6 + 4) / (ReferenceSpeed*3.6 + 4) }
