package drying

import (
	"fmt"
	"math"

	"scumble/unit"
)

// NoFigureAbove is the humidity above which a drying time is a hold and not a
// figure, however long (own default).
const NoFigureAbove unit.Humidity = 0.90

// gasConstant in J/(mol K).
const gasConstant = 8.314462618

// Activation energies of an oxidising coat, kJ/mol. Nobody published one for
// alkyd drying in air that we could read. Common practice says the time doubles
// with every 10 K of cold, which is 47.8 between 10 and 20 C and 51.2 between
// 20 and 30 C; 50 stands for that and the ends are our own width round it.
const (
	energyLow    = 40.0
	energyLikely = 50.0
	energyHigh   = 60.0
)

// Ready gives the window for the next coat, in hours after the coat ended.
//
// Water-borne coats, metallic ones among them, wait in proportion to the
// vapour-pressure deficit of the reference climate over that at the wall. Oil
// coats follow Arrhenius with the temperature of the wall; film, light and air
// act too and are not modelled. Other waits do not change.
//
// A warm or dry room never brings the next coat forward: the declared times are
// minimums of practice, and a fast surface says little about the film below.
// The far end of the window moves with the least stretch, and closes sooner in
// a warm room, though never before the slow end of From.
//
// It fails on air outside the correlations, above NoFigureAbove for water-borne
// coats, on a wall at its dew point, and on times that are negative or out of order.
func Ready(coat Coat, air Air) (Window, error) {
	if !(coat.From.Low >= 0) || !coat.From.Ordered() || !(coat.Until >= 0) || math.IsInf(float64(coat.From.High+coat.Until), 1) {
		return Window{}, fmt.Errorf("drying times %v to %v h, at most %v h, are negative or out of order: correct them",
			float64(coat.From.Low), float64(coat.From.High), float64(coat.Until))
	}
	raw, err := stretch(coat.Base, air)
	if err != nil {
		return Window{}, err
	}
	f := unit.Range[unit.Ratio]{Low: max(1, raw.Low), Likely: max(1, raw.Likely), High: max(1, raw.High)}
	w := Window{
		From: unit.Range[unit.Hours]{
			Low:    coat.From.Low * unit.Hours(f.Low),
			Likely: coat.From.Likely * unit.Hours(f.Likely),
			High:   coat.From.High * unit.Hours(f.High),
		},
		Factor: float64(f.Likely),
	}
	if coat.Until > 0 {
		w.Until = max(coat.Until*unit.Hours(raw.Low), w.From.High)
	}
	return w, nil
}

// stretch is the factor on a declared time before the declared time's own floor.
func stretch(base string, air Air) (unit.Range[unit.Ratio], error) {
	var none unit.Range[unit.Ratio]
	deficit, err := air.Deficit()
	if err != nil {
		return none, err
	}
	switch base {
	case "none":
		return unit.Exactly[unit.Ratio](1), nil
	case "water":
		if air.Humidity > NoFigureAbove || deficit <= 0 {
			return none, fmt.Errorf("at %v C, wall %v C and %v %% humidity no drying time can be given: warm or dry the room first",
				float64(air.Temp), float64(air.Surface), float64(air.Humidity)*100)
		}
		reference := saturation(ReferenceTemp) * (1 - float64(ReferenceHumidity))
		return unit.Exactly(unit.Ratio(reference / deficit)), nil
	case "oil":
		a, b, c := arrhenius(energyLow, air.Surface), arrhenius(energyLikely, air.Surface), arrhenius(energyHigh, air.Surface)
		return unit.Range[unit.Ratio]{Low: min(a, c), Likely: b, High: max(a, c)}, nil
	}
	return none, fmt.Errorf("base %q is none of water, oil, none: correct the wait", base)
}

// arrhenius is the time at t over the time at the reference temperature:
// exp(E/R (1/T - 1/Tref)), T in kelvin (Freiesleben Hansen and Pedersen 1977,
// there for concrete).
func arrhenius(energy float64, t unit.Temp) unit.Ratio {
	const zero = 273.15
	return unit.Ratio(math.Exp(energy * 1000 / gasConstant * (1/(float64(t)+zero) - 1/(float64(ReferenceTemp)+zero))))
}
