package drying

import (
	"fmt"
	"math"

	"scumble/unit"
)

// NoFigureAbove is the humidity above which water leaves no coat in a time that
// could be given, however long (own default).
const NoFigureAbove unit.Humidity = 0.90

// gasConstant in J/(mol K).
const gasConstant = 8.314462618

// Activation energies of an oxidising coat, kJ/mol. Nobody published one for
// alkyd drying in air that we could read. Common practice says the time doubles
// with every 10 K of cold, which is 47.8 between 10 and 20 C and 51.2 between
// 20 and 30 C; 50 stands for that and the ends are our own width round it.
var energies = [3]float64{40, 50, 60}

// bends are the powers of the vapour-pressure deficit a water-borne coat may
// follow: one by the model, our own width round it. Evaporation measured outdoors
// lies within 40 % of the formula (Hover 2006); some of that is common to both
// climates compared.
var bends = [3]float64{0.75, 1, 1.25}

// Rules by which a coat is held to be dry.
const (
	ByLater    = "later"    // the later of the two below
	ByModel    = "model"    // what the climate makes of the declared time
	ByDeclared = "declared" // the declared time, by the clock
)

// Coat is one coat with its waiting times at the reference climate.
type Coat struct {
	Base   string // water | oil | none
	From   unit.Range[unit.Hours]
	Until  unit.Hours // 0 = no limit
	Film   unit.Ratio // laid over declared thickness; 0 = as declared
	Closes unit.Hours // when a water-borne film closes at the reference; 0 = not within From
	By     string     // rule; empty = ByLater
}

// Window is when the next coat may start, hours after the coat ended.
type Window struct {
	From     unit.Range[unit.Hours] // by the rule of the coat
	Declared unit.Range[unit.Hours]
	Model    unit.Range[unit.Hours]
	Until    unit.Hours // 0 = no limit
	Factor   float64    // by which the model stretches the likely time
}

// Watch follows coats of one base through one climate.
type Watch struct {
	base   string
	clocks [3]*clock // fastest, likely, slowest
	windy  float64
	last   Air
}

// Watch begins to follow coats of a base: water, oil or none. It fails on air
// outside the correlations.
//
// The progress of a water-borne coat in an hour is the vapour-pressure deficit at
// the wall over that of the reference climate; above NoFigureAbove, and on a wall
// that sweats, there is none. Oil coats follow Arrhenius with the temperature of
// the wall; film, light and moving air act too and are not modelled. Other waits
// follow the clock.
func (c Climate) Watch(base string) (*Watch, error) {
	for _, a := range c.Air {
		if _, err := a.Deficit(); err != nil {
			return nil, err
		}
	}
	w := &Watch{base: base, windy: 1, last: c.Air[len(c.Air)-1]}
	var paces func(Air) [3]float64
	switch base {
	case "none":
		paces = func(Air) [3]float64 { return [3]float64{1, 1, 1} }
	case "water":
		w.windy = c.windy()
		reference := saturation(ReferenceTemp) * (1 - float64(ReferenceHumidity))
		paces = func(a Air) (p [3]float64) {
			deficit, _ := a.Deficit()
			if a.Humidity > NoFigureAbove || deficit <= 0 {
				return p
			}
			for i := range p {
				p[i] = math.Pow(deficit/reference, bends[i])
			}
			return p
		}
	case "oil":
		paces = func(a Air) (p [3]float64) {
			for i := range p {
				p[i] = 1 / arrhenius(energies[i], a.Surface)
			}
			return p
		}
	default:
		return nil, fmt.Errorf("base %q is none of water, oil, none: correct the wait", base)
	}
	for i, pick := range []func(p [3]float64) float64{
		func(p [3]float64) float64 { return max(p[0], p[2]) },
		func(p [3]float64) float64 { return p[1] },
		func(p [3]float64) float64 { return min(p[0], p[2]) },
	} {
		w.clocks[i] = c.clock(func(a Air) float64 { return pick(paces(a)) })
	}
	return w, nil
}

// arrhenius is the time at t over the time at the reference temperature:
// exp(E/R (1/T - 1/Tref)), T in kelvin (Freiesleben Hansen and Pedersen 1977,
// there for concrete).
func arrhenius(energy float64, t unit.Temp) float64 {
	const zero = 273.15
	return math.Exp(energy * 1000 / gasConstant * (1/(float64(t)+zero) - 1/(float64(ReferenceTemp)+zero)))
}

// need is the progress a declared time stands for. Until a water-borne film
// closes, water leaves at a rate that wind helps and film delays in proportion;
// after that it diffuses through the skin, without wind and with the square of
// the film (two stages of Kiil 2006; the powers are an engineering choice).
func (w *Watch) need(t unit.Hours, coat *Coat) float64 {
	if w.base != "water" {
		return float64(t)
	}
	film := 1.0
	if coat.Film > 0 {
		film = float64(coat.Film)
	}
	open := float64(t)
	if coat.Closes > 0 {
		open = min(open, float64(coat.Closes))
	}
	return open*film/w.windy + (float64(t)-open)*film*film
}

func (w *Watch) span(t unit.Range[unit.Hours], coat *Coat, start float64) (unit.Range[unit.Hours], error) {
	r := unit.Range[unit.Hours]{
		Low:    unit.Hours(w.clocks[0].after(start, w.need(t.Low, coat))),
		Likely: unit.Hours(w.clocks[1].after(start, w.need(t.Likely, coat))),
		High:   unit.Hours(w.clocks[2].after(start, w.need(t.High, coat))),
	}
	if math.IsInf(float64(r.High), 1) {
		return r, fmt.Errorf("at %v C, wall %v C and %v %% humidity no drying time can be given: warm or dry the room first",
			float64(w.last.Temp), float64(w.last.Surface), unit.Figure(float64(w.last.Humidity)*100, 0))
	}
	return r, nil
}

// Ready gives the window for the next coat over one that ended at start, hours of
// the climate.
//
// Unless the coat says otherwise a warm or dry room never brings the next coat
// forward: the declared times are minimums of practice, and a fast surface says
// little about the film below. The far end of the window moves with the fastest
// pace, and closes sooner in a warm room, though never before the slow end of From.
//
// It fails on times that are negative or out of order, and where nothing dries.
func (w *Watch) Ready(coat Coat, start float64) (Window, error) {
	if !(coat.From.Low >= 0) || !coat.From.Ordered() || !(coat.Until >= 0) || math.IsInf(float64(coat.From.High+coat.Until), 1) {
		return Window{}, fmt.Errorf("drying times %v to %v h, at most %v h, are negative or out of order: correct them",
			float64(coat.From.Low), float64(coat.From.High), float64(coat.Until))
	}
	model, err := w.span(coat.From, &coat, start)
	if err != nil {
		return Window{}, err
	}
	v := Window{Declared: coat.From, Model: model, Factor: 1}
	if coat.From.Likely > 0 {
		v.Factor = float64(model.Likely / coat.From.Likely)
	}
	switch coat.By {
	case ByModel:
		v.From = model
	case ByDeclared:
		v.From = coat.From
	default:
		v.From = unit.Range[unit.Hours]{Low: max(model.Low, coat.From.Low), Likely: max(model.Likely, coat.From.Likely), High: max(model.High, coat.From.High)}
	}
	if coat.Until > 0 {
		v.Until = coat.Until
		if coat.By != ByDeclared {
			v.Until = unit.Hours(w.clocks[0].after(start, w.need(coat.Until, &coat)))
		}
		v.Until = max(v.Until, v.From.High)
	}
	return v, nil
}

// Surely is the slow end of From and the Until of Ready, for a coat that is known to have
// both: what a programme that never counts on luck waits for.
func (w *Watch) Surely(coat Coat, start float64) (from, until unit.Hours) {
	if from = coat.From.High; coat.By != ByDeclared {
		from = unit.Hours(w.clocks[2].after(start, w.need(coat.From.High, &coat)))
		if coat.By != ByModel {
			from = max(from, coat.From.High)
		}
	}
	if coat.Until > 0 {
		if until = coat.Until; coat.By != ByDeclared {
			until = unit.Hours(w.clocks[0].after(start, w.need(coat.Until, &coat)))
		}
		until = max(until, from)
	}
	return from, until
}

// Ready is Watch and its Ready for a single coat.
func Ready(coat Coat, c Climate, start float64) (Window, error) {
	w, err := c.Watch(coat.Base)
	if err != nil {
		return Window{}, err
	}
	return w.Ready(coat, start)
}

// Open is how long glaze laid at start can be worked and joined: the declared
// open time, shorter on a ground that drinks (suction above 1).
func (w *Watch) Open(declared unit.Range[unit.Hours], film, suction unit.Ratio, start float64) (unit.Range[unit.Hours], error) {
	s := unit.Hours(max(1, suction))
	return w.span(unit.Range[unit.Hours]{Low: declared.Low / s, Likely: declared.Likely / s, High: declared.High / s}, &Coat{Film: film}, start)
}
