package board

import (
	"time"

	"scumble/catalog"
	"scumble/drying"
	"scumble/method"
	"scumble/unit"
)

// State is how far a wall has come.
type State string

// The states a wall goes through, in order.
const (
	Measured State = "measured"
	Chosen   State = "chosen"
	SetOut   State = "setout"
	InWork   State = "work"
	Drying   State = "drying"
	Done     State = "done"
)

// States in order, with the words for them.
var States = []struct {
	State State
	Words string
}{{Measured, "measured"}, {Chosen, "chosen"}, {SetOut, "set out"}, {InWork, "in work"}, {Drying, "drying"}, {Done, "done"}}

// Words are the state as it is said.
func (s State) Words() string {
	for _, known := range States {
		if known.State == s {
			return known.Words
		}
	}
	return string(s)
}

// Standing is how far a wall has come at a moment.
type Standing struct {
	State State
	// Finished and Steps count the steps of its coat system.
	Finished, Steps int
	// Early and Late are when what was laid last lets the next step begin.
	Early, Late time.Time
}

// Share is the part of the steps that is finished, 0 to 1.
func (s Standing) Share() float64 {
	if s.Steps == 0 {
		return 0
	}
	return float64(s.Finished) / float64(s.Steps)
}

// Standing works out how far a wall has come from what is noted in the job; now is
// the wall clock of the place of work, carried in UTC. A wall with two faces stands
// where the face behind stands.
func (b *Board) Standing(w *Wall, now time.Time) Standing {
	if w.Typed.Finish == "" && (w.Typed.Dado == nil || w.Typed.Dado.Finish == "") {
		return Standing{State: Measured}
	}
	least := Standing{State: Chosen}
	if b.Plan.Method == nil || w.Survey == nil {
		return least
	}
	for i, f := range w.Survey.Faces {
		face := b.face(f.ID)
		if face == nil {
			return Standing{State: Chosen}
		}
		done, ended := w.Typed.Done, w.Typed.Ended
		if d := w.Typed.Dado; d != nil && f.ID != w.ID {
			done, ended = d.Done, d.Ended
		}
		s := standing(face, b.PlaceOf(w), b.Plan.Catalog.Defaults, done, string(ended), now)
		if i == 0 || order(s.State) < order(least.State) || order(s.State) == order(least.State) && s.Late.After(least.Late) {
			least = s
		}
	}
	return least
}

func order(s State) int {
	for i, known := range States {
		if known.State == s {
			return i
		}
	}
	return -1
}

func (b *Board) face(id string) *method.Face {
	for i := range b.Plan.Method.Faces {
		if b.Plan.Method.Faces[i].ID == id {
			return &b.Plan.Method.Faces[i]
		}
	}
	return nil
}

// PlaceOf is where coats dry on a wall.
func (b *Board) PlaceOf(w *Wall) drying.Place {
	first, _ := time.Parse(time.DateOnly, string(b.Job.Crew.Start))
	return drying.Place{Air: b.Job.Climate.In(b.Job.Rooms[w.RoomIndex].Climate), Surface: w.Typed.Surface, Outside: w.Typed.Outside, First: first}
}

// AirOf is what coats dry in on a wall, at noon of the first day where it changes.
func (b *Board) AirOf(w *Wall) drying.Air {
	return b.PlaceOf(w).Climate(b.Plan.Catalog.Defaults).At(12)
}

// standing is how far a face has come when the step named last is finished.
func standing(face *method.Face, place drying.Place, d *catalog.Defaults, last, ended string, now time.Time) Standing {
	s := Standing{State: Chosen, Steps: len(face.Steps)}
	at := -1
	for i, step := range face.Steps {
		if step.Rule == last {
			at = i
		}
	}
	if at < 0 {
		return s
	}
	s.Finished = at + 1
	s.State = InWork
	switch {
	case at == len(face.Steps)-1:
		s.State = Done
		return s
	case face.Steps[at].Kind == method.Mark:
		s.State = SetOut
	}
	moment, err := time.Parse("2006-01-02 15:04", ended)
	if err != nil {
		return s
	}
	climate := place.Climate(d)
	for _, later := range face.Steps[at+1:] {
		for _, wait := range later.Waits {
			if wait.On != face.Steps[at].ID {
				continue
			}
			coat := drying.Coat{Base: wait.Base, From: wait.From, Until: wait.Until, By: place.WaitBy()}
			if p := face.Steps[at].Product; p != nil {
				coat.Closes = unit.Hours(p.Drying.Touch.Likely)
			}
			ready, err := drying.Ready(coat, climate, moment.Sub(place.First).Hours())
			if err != nil {
				continue
			}
			early, late := moment.Add(hours(ready.From.Low)), moment.Add(hours(ready.From.High))
			if late.After(now) && (s.Late.IsZero() || late.Before(s.Late)) {
				s.State, s.Early, s.Late = Drying, early, late
			}
		}
	}
	return s
}

func hours(h unit.Hours) time.Duration { return time.Duration(float64(h) * float64(time.Hour)) }
