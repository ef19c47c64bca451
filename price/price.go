// Package price is stage 8: measured areas, hours and packs become a quote with
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
	Currency   string
	Rule       *catalog.MeasuringRule
	Lines      []Line
	Net        unit.Money // likely, before tax
	EightInTen unit.Money // enough eight times in ten, before tax
	Low, High  unit.Money // the tenth and the ninetieth of a hundred
	Asked      unit.Money // before tax: Net or EightInTen as the terms say
	Tax        unit.Money
	Total      unit.Money
	Hours      unit.Range[unit.Hours] // person-hours
	Stages     []Payment
	Working    Working
	Warnings   []job.Warning
}

// Line is one line of the quote.
type Line struct {
	Room     string
	Work     string
	Faces    []string
	Painted  unit.Area
	Paid     PaidArea
	Measured []Measured // how Paid came about, one a face
	Hours    unit.Range[unit.Hours]
	Labour   unit.Money
	Material unit.Money
	Rate     unit.Money // per paid m2, 0 for lump sums
	Amount   unit.Money
	Once     bool
}

// Measured is the paid area of one face, shown.
type Measured struct {
	Face     string
	Gross    PaidArea
	Deducted []Deduction
	Reveals  PaidArea
	Paid     PaidArea
}

// Deduction is what a rule did about one opening.
type Deduction struct {
	Opening string
	Area    PaidArea
	Taken   PaidArea
	Why     string
}

// Working is how the total is built.
type Working struct {
	Labour, Material, Goods, Kit, Travel, Boards, Once unit.Money
	Cost, Overhead, Margin                             unit.Money
	Allowance                                          unit.Money // from the likely price to what is asked
	Trials                                             int        // of the range
	Seed                                               int64
}

// Payment is a stage payment, tax in it.
type Payment struct {
	Name   string
	Share  unit.Ratio
	Amount unit.Money
}
