package colour

import (
	"strings"
	"sync"
)

// Light is a lamp or a phase of daylight. Power is relative: only its shape counts.
type Light struct {
	ID, Name string
	Power    Spectrum
	Source   string
}

var lights = sync.OnceValue(func() []Light {
	var all []Light
	for _, t := range mustReadTables("data/lights.txt") {
		all = append(all, Light{ID: t.id, Name: t.name, Power: t.values, Source: t.source})
	}
	equal := Light{ID: "E", Name: "Equal energy", Source: "CIE 015:2018, illuminant E"}
	for i := range equal.Power {
		equal.Power[i] = 100
	}
	return append(all, equal)
})

// Lights are the lights known here, under the identifiers the CIE gives them: incandescent, daylight,
// fluorescent, LED, and last the equal-energy light. The caller owns the list.
func Lights() []Light {
	return append([]Light(nil), lights()...)
}

// LightByID finds a light by its CIE identifier, in upper or lower case ("D65", "led-b3").
func LightByID(id string) (Light, bool) {
	for _, l := range lights() {
		if strings.EqualFold(l.ID, id) {
			return l, true
		}
	}
	return Light{}, false
}
