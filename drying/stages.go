package drying

import (
	"scumble/catalog"
	"scumble/unit"
)

// Stages of a coat, in the order they usually come. They are separate events: a
// later one may be reached before an earlier one (ISO 9117-5).
const (
	Open     = "open"     // can be worked and joined
	Touch    = "touch"    // nothing comes off on a finger
	Recoat   = "recoat"   // next coat may go on
	TooLate  = "too late" // next coat needs more than a wash
	Masking  = "masking"  // tape may be stuck on it
	Hard     = "hard"     // a thumb leaves no mark
	Washable = "washable" // may be washed
)

// Event is when a stage comes, hours after the coat was laid.
type Event struct {
	Stage    string                 `json:"stage"`
	Declared unit.Range[unit.Hours] `json:"declared"` // by the clock, as the rule of thumb has it
	Model    unit.Range[unit.Hours] `json:"model"`    // what the climate makes of it
	Use      unit.Range[unit.Hours] `json:"use"`      // by the rule of the coat
	Figure   string                 `json:"figure"`   // catalog path of the declared time
}

// Base is how climate changes the times of a product: metallic ones are water-borne.
func Base(p *catalog.Product) string {
	switch p.Family {
	case "oil", "none":
		return p.Family
	}
	return "water"
}

// Stages lists the events of a product laid at start in a climate; film is the
// laid over the declared thickness. Washable follows the clock alone: it is a
// matter of weeks, and no climate that lasts so long is known.
func Stages(p *catalog.Product, film unit.Ratio, by string, c Climate, start float64) ([]Event, error) {
	w, err := c.Watch(Base(p))
	if err != nil {
		return nil, err
	}
	var out []Event
	d := &p.Drying
	for _, s := range []struct {
		stage, field string
		figure       *catalog.Figure
	}{{Open, "open", &d.Open}, {Touch, "touch", &d.Touch}, {Recoat, "recoat-from", &d.RecoatFrom}, {TooLate, "recoat-until", d.RecoatUntil},
		{Masking, "masking", d.Masking}, {Hard, "hard", &d.Hard}, {Washable, "washable", d.Washable}} {
		if s.figure == nil || !(s.figure.Likely > 0) {
			continue
		}
		e := Event{Stage: s.stage, Declared: hours(*s.figure), Figure: "products/" + p.ID + "/drying." + s.field}
		switch s.stage {
		case Washable:
			e.Model, e.Use = e.Declared, e.Declared
		case TooLate: // as a window closes: with the fastest pace
			v, err := w.Ready(Coat{Base: w.base, From: e.Declared, Film: film, Closes: unit.Hours(d.Touch.Likely), By: by}, start)
			if err != nil {
				return nil, err
			}
			e.Model, e.Use = v.Model, v.Model
			if by == ByDeclared {
				e.Use = e.Declared
			}
		case Open: // the shorter time would be the safe one, but a cool room is worth having: the model counts
			if e.Model, err = w.Open(e.Declared, film, 1, start); err != nil {
				return nil, err
			}
			e.Use = e.Model
			if by == ByDeclared {
				e.Use = e.Declared
			}
		default:
			v, err := w.Ready(Coat{Base: w.base, From: e.Declared, Film: film, Closes: unit.Hours(d.Touch.Likely), By: by}, start)
			if err != nil {
				return nil, err
			}
			e.Model, e.Use = v.Model, v.From
		}
		out = append(out, e)
	}
	return out, nil
}

func hours(f catalog.Figure) unit.Range[unit.Hours] {
	return unit.Range[unit.Hours]{Low: unit.Hours(f.Low), Likely: unit.Hours(f.Likely), High: unit.Hours(max(f.High, f.Likely))}
}
