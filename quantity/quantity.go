// Package quantity is stage 5: steps and areas become litres, mixes, batches,
// packs to buy, things used up and tools.
package quantity

import (
	"scumble/catalog"
	"scumble/job"
	"scumble/unit"
)

// Quantities is everything the job takes.
type Quantities struct {
	Mixes     []Mix      // one for each product, colour and dilution: boxed as one batch
	Purchases []Purchase // one for each product and colour
	Goods     []Goods
	Tools     []Tool
	Warnings  []job.Warning
}

// Mix is one batch that must match everywhere it is used. Volumes are litres for
// every product; AsBought turns them into kg where a product is sold by mass.
type Mix struct {
	ID        string // short, for labels: "G1"
	Product   *catalog.Product
	Colour    job.Colour
	Finish    string     // finish id where one alone uses it, else ""
	Parts     unit.Ratio // thinner on one part
	Thinner   *catalog.Product
	Reading   string
	Percent   unit.Ratio
	Uses      []Use
	Laid      unit.Range[unit.Volume] // on the walls, ready mix
	Loss      unit.Ratio              // share of what is mixed
	Reserve   unit.Volume             // kept for touching up, ready mix
	Ready     unit.Range[unit.Volume] // to make up: laid / (1 - loss) + reserve
	Stock     unit.Volume             // of product in the likely batch
	Thin      unit.Volume             // of thinner in the likely batch
	StockMass unit.Mass
	ThinMass  unit.Mass
	Other     *OtherReading // what the other reading of the percentage would give
	Solids    unit.Ratio    // volume solids of the mix
	DryFilm   unit.Film     // one coat as laid, mean of the uses, before a tool lifts any
}

// OtherReading is the same need with the percentage read the other way.
type OtherReading struct {
	Reading     string
	Stock, Thin unit.Volume
	Solids      unit.Ratio
}

// Use is one step that draws from a mix.
type Use struct {
	Step string
	Face string
	Area unit.Area
	Rate unit.Range[unit.Spread] // m2 per litre of ready mix
	Laid unit.Range[unit.Volume]
	// Lifted is the part of Laid that ends on rags, papers and other tools.
	Lifted unit.Range[unit.Volume]
	// Stock and Thin are this step's part of the likely batch, loss counted in and
	// the reserve not: what to fill the tray with in all.
	Stock, Thin         unit.Volume
	StockMass, ThinMass unit.Mass
}

// AsBought gives litres of this mix in the unit its product is bought in, L or kg.
func (m *Mix) AsBought(litres unit.Range[unit.Volume]) (unit.Range[float64], string) {
	perLitre, name := soldBy(m.Product)
	return unit.Range[float64]{Low: float64(litres.Low) * perLitre, Likely: float64(litres.Likely) * perLitre, High: float64(litres.High) * perLitre}, name
}

// soldBy is how many of the units a product is bought in make a litre, and the unit.
func soldBy(p *catalog.Product) (perLitre float64, name string) {
	if p.By == "mass" {
		return p.Density.Likely, "kg"
	}
	return 1, "L"
}

// Purchase is what has to be bought of one product in one colour.
type Purchase struct {
	Product *catalog.Product
	Colour  job.Colour
	Need    float64 // litres, or kg for products by mass: what is bought for
	Likely  float64 // the likely need; equal to Need where the likely end is bought for
	Unit    string  // L | kg
	Packs   []PackCount
	Bought  float64
	Left    float64
	Cost    unit.Money
	Priced  bool // false: the job names no pack of it
	Reason  string
}

// PackCount is a number of packs of one size.
type PackCount struct {
	Size   string
	Litres float64
	Count  int
	Each   unit.Money
	Cost   unit.Money
}

// Goods is something used up.
type Goods struct {
	Good   *catalog.Good
	Need   float64 // in Good.Unit
	Packs  int
	PackOf float64
	Cost   unit.Money
	Priced bool
	Reason string
}

// Tool is something kept.
type Tool struct {
	Good   *catalog.Good
	Count  int
	Have   bool
	Cost   unit.Money
	Priced bool
	Reason string
}
