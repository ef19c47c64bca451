// Package price is stage 9: measured areas, hours and packs become a quote with
// its range and stage payments. The paid area is another type than the painted
// area; nothing converts between them.
package price

import (
	"scumble/catalog"
	"scumble/job"
	"scumble/unit"
)

// PaidArea is an area by a published measuring rule, in square metres, rounded
// to 0.01. It is never used for material.
type PaidArea float64

// Quote is the price of the job.
type Quote struct {
	Currency   string                 `json:"currency"`
	Rule       *catalog.MeasuringRule `json:"rule"`
	Lines      []Line                 `json:"lines"`
	Net        unit.Money             `json:"net"`        // likely, before tax
	EightInTen unit.Money             `json:"eightInTen"` // enough eight times in ten, before tax
	// the tenth and the ninetieth of a hundred
	Low      unit.Money             `json:"low"`
	High     unit.Money             `json:"high"`
	Asked    unit.Money             `json:"asked"` // before tax: Net or EightInTen as the terms say
	Tax      unit.Money             `json:"tax"`
	Total    unit.Money             `json:"total"`
	Hours    unit.Range[unit.Hours] `json:"hours"` // person-hours
	Stages   []Payment              `json:"stages"`
	Working  Working                `json:"working"`
	Warnings []job.Warning          `json:"warnings"`
}

// Line is one line of the quote.
type Line struct {
	Room     string                 `json:"room"`
	Work     string                 `json:"work"`
	Faces    []string               `json:"faces"`
	Painted  unit.Area              `json:"painted"`
	Paid     PaidArea               `json:"paid"`
	Measured []Measured             `json:"measured"` // how Paid came about, one a face
	Hours    unit.Range[unit.Hours] `json:"hours"`
	Labour   unit.Money             `json:"labour"`
	Material unit.Money             `json:"material"`
	Rate     unit.Money             `json:"rate"` // per paid m2, 0 for lump sums
	Amount   unit.Money             `json:"amount"`
	Once     bool                   `json:"once"`
}

// Measured is the paid area of one face, shown.
type Measured struct {
	Face     string      `json:"face"`
	Gross    PaidArea    `json:"gross"`
	Deducted []Deduction `json:"deducted"`
	Reveals  PaidArea    `json:"reveals"`
	Paid     PaidArea    `json:"paid"`
}

// Deduction is what a rule did about one opening.
type Deduction struct {
	Opening string   `json:"opening"`
	Area    PaidArea `json:"area"`
	Taken   PaidArea `json:"taken"`
	Why     string   `json:"why"`
}

// Working is how the total is built.
type Working struct {
	Labour    unit.Money `json:"labour"`
	Material  unit.Money `json:"material"`
	Goods     unit.Money `json:"goods"`
	Kit       unit.Money `json:"kit"`
	Travel    unit.Money `json:"travel"`
	Cost      unit.Money `json:"cost"` // the five above
	Overhead  unit.Money `json:"overhead"`
	Margin    unit.Money `json:"margin"`
	Boards    unit.Money `json:"boards"` // sums typed as prices: nothing is added to them
	Once      unit.Money `json:"once"`
	Allowance unit.Money `json:"allowance"` // from the likely price to what is asked
	Trials    int        `json:"trials"`    // of the range
	Seed      int64      `json:"seed"`
}

// Payment is a stage payment, tax in it.
type Payment struct {
	Name   string     `json:"name"`
	Share  unit.Ratio `json:"share"`
	Amount unit.Money `json:"amount"`
}
