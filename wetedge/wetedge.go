// Package wetedge keeps the edge wet: a pair on a wall, simulated. It finds the sections, says
// who does what minute by minute, how old every joint is when it is merged, how long glaze
// stays open in that room at that hour, and the chance of a lap mark.
//
// It stands beside the flow: a question is asked of a plan, one wall at a time, and answered
// while the hour, the crew and the air are moved.
package wetedge

import (
	"time"

	"scumble/catalog"
	"scumble/drying"
	"scumble/job"
	"scumble/method"
	"scumble/schedule"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
)

// Parts are what a question is asked of. Programme may be nil.
type Parts struct {
	Job       *job.Job
	Catalog   *catalog.Catalog
	Survey    *survey.Survey
	SetOut    *setout.SetOut
	Method    *method.Method
	Programme *schedule.Programme
}

// Question is how one wall might be glazed. What is zero is as the plan has it.
type Question struct {
	Step     string // of the method, with a wet edge
	At       time.Time
	People   int
	Temp     *unit.Temp
	Humidity *unit.Humidity
	Draught  string // one of drying.Draughts
	Retarder bool
	Columns  int // 0 = as few as are safe
}

// Answer is how that would go.
type Answer struct {
	Step     string        `json:"step"`
	Face     string        `json:"face"`
	Path     string        `json:"path"`
	Room     string        `json:"room"`
	Title    string        `json:"title"`
	At       time.Time     `json:"at"`
	People   int           `json:"people"`
	Names    []string      `json:"names"` // who lays, who works, who helps
	Air      drying.Air    `json:"air"`   // when the first glaze is laid
	Speed    float64       `json:"speed"` // of the air along the wall, m/s
	Open     Open          `json:"open"`
	Layout   *Layout       `json:"layout"`
	Joints   []Joint       `json:"joints"`  // in the order they are made; one of a piece where nothing joins
	Weakest  int           `json:"weakest"` // index into Joints
	Turns    []Turn        `json:"turns"`   // at likely paces, by start
	Minutes  float64       `json:"minutes"`
	Chance   Chance        `json:"chance"`
	Crews    []Choice      `json:"crews"` // one, two, three people, each in the sections that suit it
	Helps    []Help        `json:"helps"` // what would help most, best first
	Holds    []drying.Hold `json:"holds"`
	Safe     bool          `json:"safe"` // at its likely value
	Verdict  string        `json:"verdict"`
	Advice   string        `json:"advice"`
	Rests    []string      `json:"rests"` // what the answer rests on
	Mind     string        `json:"mind"`  // two busy hands above reach, one of Rests; empty where all is reached from the floor
	Warnings []job.Warning `json:"warnings"`
}

// Open is how long glaze can be worked and joined there, min.
type Open struct {
	Low      float64 `json:"low"`
	Likely   float64 `json:"likely"`
	High     float64 `json:"high"`
	Declared float64 `json:"declared"` // at the reference climate
	Last     float64 `json:"last"`     // likely, of glaze laid at the end
	Figure   string  `json:"figure"`   // catalog path
	Footing  string  `json:"footing"`
}

// Chance of at least one lap mark on the wall. Low and High are with open times at the ends
// of their range.
type Chance struct {
	Low    float64 `json:"low"`
	Likely float64 `json:"likely"`
	High   float64 `json:"high"`
	Target float64 `json:"target"`
}

// Joint is where two pieces meet; ages in min. B is 0 for a piece that meets no other.
type Joint struct {
	Letter string  `json:"letter"`
	A      int     `json:"a"` // numbers of the pieces, the earlier first
	B      int     `json:"b"`
	Level  bool    `json:"level"`
	X      float64 `json:"x"` // its middle, mm
	Y      float64 `json:"y"`
	Half   float64 `json:"half"` // half of its height, mm; 0 = level
	Meet   float64 `json:"meet"`
	Self   float64 `json:"self"`
	Cross  float64 `json:"cross"`
	Age    float64 `json:"age"`  // the one that matters for the technique
	Open   float64 `json:"open"` // likely, for glaze laid when its older side was
	Laid   float64 `json:"laid"` // when that was, min
}

// Choice is a crew with the sections that suit it.
type Choice struct {
	People  int     `json:"people"`
	Columns int     `json:"columns"`
	Rows    int     `json:"rows"`
	Chance  float64 `json:"chance"`
	Minutes float64 `json:"minutes"`
}

// Help is something that would help, with what it leads to. Ask is the question that shows it
// whole; nil where the wall itself would have to be another.
type Help struct {
	Ask     *Question `json:"-"`
	Do      string    `json:"do"`
	Cost    string    `json:"cost"`
	Chance  float64   `json:"chance"`
	Minutes float64   `json:"minutes"`
}
