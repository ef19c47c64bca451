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
	Mixes     []Mix         `json:"mixes"`     // one for each product, colour and dilution: boxed as one batch
	Purchases []Purchase    `json:"purchases"` // one for each product and colour
	Goods     []Goods       `json:"goods"`
	Tools     []Tool        `json:"tools"`
	Warnings  []job.Warning `json:"warnings"`
}

// Mix is one batch that must match everywhere it is used. Volumes are litres for
// every product; AsBought turns them into kg where a product is sold by mass.
type Mix struct {
	ID        string                  `json:"id"` // short, for labels: "G1"
	Product   *catalog.Product        `json:"product"`
	Colour    job.Colour              `json:"colour"`
	Finish    string                  `json:"finish"` // finish id where one alone uses it, else ""
	Parts     unit.Ratio              `json:"parts"`  // thinner on one part
	Thinner   *catalog.Product        `json:"thinner"`
	Reading   string                  `json:"reading"`
	Percent   unit.Ratio              `json:"percent"`
	Uses      []Use                   `json:"uses"`
	Laid      unit.Range[unit.Volume] `json:"laid"`    // on the walls, ready mix
	Loss      unit.Ratio              `json:"loss"`    // share of what is mixed
	Reserve   unit.Volume             `json:"reserve"` // kept for touching up, ready mix
	Ready     unit.Range[unit.Volume] `json:"ready"`   // to make up: laid / (1 - loss) + reserve
	Stock     unit.Volume             `json:"stock"`   // of product in the likely batch
	Thin      unit.Volume             `json:"thin"`    // of thinner in the likely batch
	StockMass unit.Mass               `json:"stockMass"`
	ThinMass  unit.Mass               `json:"thinMass"`
	Other     *OtherReading           `json:"other"`   // what the other reading of the percentage would give
	Solids    unit.Ratio              `json:"solids"`  // volume solids of the mix
	DryFilm   unit.Film               `json:"dryFilm"` // one coat as laid, mean of the uses, before a tool lifts any
}

// OtherReading is the same need with the percentage read the other way.
type OtherReading struct {
	Reading string      `json:"reading"`
	Stock   unit.Volume `json:"stock"`
	Thin    unit.Volume `json:"thin"`
	Solids  unit.Ratio  `json:"solids"`
}

// Use is one step that draws from a mix.
type Use struct {
	Step string                  `json:"step"`
	Face string                  `json:"face"`
	Area unit.Area               `json:"area"`
	Rate unit.Range[unit.Spread] `json:"rate"` // m2 per litre of ready mix
	Laid unit.Range[unit.Volume] `json:"laid"`
	// Lifted is the part of Laid that ends on rags, papers and other tools.
	Lifted unit.Range[unit.Volume] `json:"lifted"`
	// Stock and Thin are this step's part of the likely batch, loss counted in and
	// the reserve not: what to fill the tray with in all.
	Stock     unit.Volume `json:"stock"`
	Thin      unit.Volume `json:"thin"`
	StockMass unit.Mass   `json:"stockMass"`
	ThinMass  unit.Mass   `json:"thinMass"`
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
	Product *catalog.Product `json:"product"`
	Colour  job.Colour       `json:"colour"`
	Need    float64          `json:"need"`   // litres, or kg for products by mass: what is bought for
	Likely  float64          `json:"likely"` // the likely need; equal to Need where the likely end is bought for
	Unit    string           `json:"unit"`   // L | kg
	Packs   []PackCount      `json:"packs"`
	Bought  float64          `json:"bought"`
	Left    float64          `json:"left"`
	Cost    unit.Money       `json:"cost"`
	Priced  bool             `json:"priced"` // false: the job names no pack of it
	Reason  string           `json:"reason"`
}

// PackCount is a number of packs of one size.
type PackCount struct {
	Size   string     `json:"size"`
	Litres float64    `json:"litres"`
	Count  int        `json:"count"`
	Each   unit.Money `json:"each"`
	Cost   unit.Money `json:"cost"`
}

// Goods is something used up.
type Goods struct {
	Good   *catalog.Good `json:"good"`
	Need   float64       `json:"need"` // in Good.Unit
	Packs  int           `json:"packs"`
	PackOf float64       `json:"packOf"`
	Cost   unit.Money    `json:"cost"`
	Priced bool          `json:"priced"`
	Reason string        `json:"reason"`
}

// Tool is something kept.
type Tool struct {
	Good   *catalog.Good `json:"good"`
	Count  int           `json:"count"`
	Have   bool          `json:"have"`
	Cost   unit.Money    `json:"cost"`
	Priced bool          `json:"priced"`
	Reason string        `json:"reason"`
}
