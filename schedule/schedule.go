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
	Tasks       []Task // by start, then by step ID
	Days        []Day
	Start       time.Time
	Finish      time.Time
	SiteDays    int
	Visits      int
	Bound       int    // no plan can need fewer site days
	BoundBy     string // the rule that gives the bound, in words
	PersonHours unit.Hours
	Warnings    []job.Warning
}

// Task is one step, placed.
type Task struct {
	Step     string // method step ID
	Face     string
	Room     string
	Kind     string
	Title    string
	Pieces   []Piece // more than one when a break or a night lies between
	People   []string
	Stand    string
	Start    time.Time
	End      time.Time
	Ready    Ready      // drying of what it laid
	Slack    unit.Hours // by which it can slip without moving the finish
	Critical bool
	Before   string // what it waited for: words
}

// Piece is one unbroken stretch of work.
type Piece struct{ From, To time.Time }

// Ready is when what a task laid lets the next step begin.
type Ready struct {
	Earliest, Likely, Latest time.Time // zero: nothing dries
	Until                    time.Time // next coat no later than this; zero: no limit
}

// Day is one attended site day.
type Day struct {
	Date   time.Time
	People []PersonDay
}

// PersonDay is what one person does on one day, in order.
type PersonDay struct {
	Name  string
	Turns []Turn
}

// Turn is one entry on a day sheet.
type Turn struct {
	From, To time.Time
	Step     string
	Role     string // lays | works | alone
}
