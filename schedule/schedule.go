// Package schedule is stage 7: steps, waits, people, access and hours become
// the programme. It is a critical-path plan with pair demand and room access;
// drying runs through nights and closed days, work does not.
package schedule

import (
	"time"

	"scumble/job"
	"scumble/unit"
)

// Programme is every step with its day and hour. Times are wall-clock times of
// the place of work, carried in UTC.
type Programme struct {
	Tasks       []Task        `json:"tasks"` // by start, then by step ID
	Days        []Day         `json:"days"`
	Start       time.Time     `json:"start"`
	Finish      time.Time     `json:"finish"`
	SiteDays    int           `json:"siteDays"`
	Visits      int           `json:"visits"`
	Bound       int           `json:"bound"`           // no plan can need fewer site days
	BoundBy     string        `json:"boundBy"`         // the rule that gives the bound, in words
	Later       string        `json:"later,omitempty"` // why it does not begin on the first day it could, in words; empty: it does
	PersonHours unit.Hours    `json:"personHours"`
	Warnings    []job.Warning `json:"warnings"`

	// PlannedFrom is the moment from which is planned; what lies before it is as it was done.
	// Zero: nothing is done, and nothing is said of it.
	PlannedFrom time.Time `json:"plannedFrom,omitzero"`
	Moved       []Move    `json:"moved,omitempty"` // by the day agreed, then as they follow now
	Effort      Effort    `json:"-"`               // that could be spent to find it

	// Within is the last day looked at where the bound was proved by ruling out all plans that
	// end by then. Zero: it holds for every plan.
	Within time.Time `json:"within,omitzero"`
	// Conflict is the rules that cannot all hold, in the order of the work, where a window is
	// missed and it is known why.
	Conflict []string `json:"conflict,omitempty"`
}

// Move is a step that begins on another day than was agreed.
type Move struct {
	Step string    `json:"step"`
	From time.Time `json:"from"` // the day agreed
	To   time.Time `json:"to"`   // the day it begins now, or began
	Why  string    `json:"why"`  // what holds it, and what that goes back to: words
}

// Task is one step, placed.
type Task struct {
	Step     string     `json:"step"` // method step ID
	Face     string     `json:"face"`
	Room     string     `json:"room"`
	Kind     string     `json:"kind"`
	Title    string     `json:"title"`
	Pieces   []Piece    `json:"pieces"` // more than one when a break or a night lies between
	People   []string   `json:"people"`
	Stand    string     `json:"stand"`
	Start    time.Time  `json:"start"`
	End      time.Time  `json:"end"`
	Ready    Ready      `json:"ready"` // drying of what it laid
	Slack    unit.Hours `json:"slack"` // by which it can slip without moving the finish
	Critical bool       `json:"critical"`
	Before   string     `json:"before"` // what it waited for: words

	Done     bool `json:"done,omitempty"`     // it lies where it was done
	Running  bool `json:"running,omitempty"`  // it is in work: its pieces up to PlannedFrom were done
	Supposed bool `json:"supposed,omitempty"` // it is done and nobody noted when
}

// Piece is one unbroken stretch of work.
type Piece struct {
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
}

// Ready is when what a task laid lets the next step begin.
type Ready struct {
	// zero: nothing dries
	Earliest time.Time `json:"earliest"`
	Likely   time.Time `json:"likely"`
	Latest   time.Time `json:"latest"`
	Until    time.Time `json:"until"` // next coat no later than this; zero: no limit
}

// LongWindow is the longest stretch in which the next coat must fall that charts and day sheets still show
// (own default): limits weeks away would hide the near ones.
const LongWindow = 10 * 24 * time.Hour

// Day is one attended site day.
type Day struct {
	Date   time.Time   `json:"date"`
	People []PersonDay `json:"people"`
}

// PersonDay is what one person does on one day, in order.
type PersonDay struct {
	Name  string `json:"name"`
	Turns []Turn `json:"turns"`
}

// Turn is one entry on a day sheet.
type Turn struct {
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
	Step string    `json:"step"`
	Role string    `json:"role"` // lays | works | alone
}
