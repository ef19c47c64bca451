package quantity

import (
	"math"

	"scumble/job"
	"scumble/unit"
)

// Worth is what is left over after the job is worth to the buyer.
type Worth struct {
	PerLitre float64 // minor units of money
	Cap      float64 // litres (or kg); a surplus beyond it is worth nothing
}

// Basket is a choice of packs.
type Basket struct {
	Counts []int   // of each pack offered
	Bought float64 // litres or kg
	Cost   unit.Money
}

// Grid of the search. Sizes are whole nanolitres; the grid is their greatest
// common divisor. Where that would take more than mostCells cells, sizes are
// rounded down to a coarser grid: the basket still holds the need.
const (
	nano      = 1e9
	mostCells = 1 << 18
	dearest   = 1e11 // a price beyond this is not taken as a price
	greatest  = 1e8  // a need beyond this, in litres, is not met
)

// Cheapest finds the packs that hold at least the need at the least cost less the
// worth of what is left, and among equals the fewest containers. Prices may fall
// (or rise) by count for all units, and stock may be short. When all the stock does
// not hold the need, the basket is all the stock and ok is false.
//
// It is the group knapsack recursion f_p(V) = min over n of f_(p-1)(V - n size) +
// price_p(n), each stretch of one price taken as a sliding minimum.
func Cheapest(need float64, packs []job.Pack, worth Worth) (basket Basket, ok bool) {
	offers := make([]offer, 0, len(packs))
	for i := range packs {
		if o := newOffer(i, &packs[i]); o.most > 0 {
			offers = append(offers, o)
		}
	}
	counts := make([]int, len(packs))
	if !(need > 0 && need <= greatest) {
		return Basket{Counts: counts}, need <= 0
	}
	g := newGrid(need, offers, worth)
	if !g.enough {
		for _, o := range offers {
			counts[o.index] = o.most
		}
		basket = total(packs, counts)
		return basket, len(offers) > 0 && basket.Bought >= need
	}
	cells := make([]cell, g.last+1)
	for v := range cells {
		cells[v] = nothing
	}
	cells[0] = cell{}
	chosen := make([][]int32, len(offers))
	for i := range offers {
		cells, chosen[i] = offers[i].add(cells)
	}
	at := g.best(cells, need, worth)
	for i := len(offers) - 1; i >= 0; i-- {
		n := int(chosen[i][at])
		counts[offers[i].index] = n
		at -= n * offers[i].cells
	}
	return total(packs, counts), true
}

// total adds up a basket at the prices of its counts.
func total(packs []job.Pack, counts []int) Basket {
	b := Basket{Counts: counts}
	for i, n := range counts {
		b.Bought += float64(n) * packs[i].Litres
		b.Cost += unit.Money(n) * each(&packs[i], n)
	}
	return b
}

// each is the price of one pack when n are bought: of the break with the highest
// count not above n.
func each(p *job.Pack, n int) unit.Money {
	price, from := p.Price.Value, 0
	for _, b := range p.Breaks {
		if b.From <= n && b.From >= from {
			price, from = b.Price.Value, b.From
		}
	}
	return price
}

// offer is one pack size in the search.
type offer struct {
	index int
	nano  int64 // size in nanolitres
	cells int   // size in cells of the grid
	most  int   // packs to be had
	tiers []tier
}

// tier is a stretch of counts with one price.
type tier struct {
	from, to int
	each     int64
}

// newOffer reads a pack; one without size or price, or out of stock, offers none.
func newOffer(index int, p *job.Pack) offer {
	o := offer{index: index, nano: int64(math.Round(min(p.Litres, 1e6) * nano)), most: math.MaxInt32}
	if p.Stock != nil {
		o.most = min(o.most, *p.Stock)
	}
	if !(p.Litres > 0) || o.nano <= 0 || p.Price.Value < 0 || p.Price.Value > dearest {
		o.most = 0
	}
	for from := 1; from <= o.most; {
		next := o.most + 1
		for _, b := range p.Breaks {
			if b.From > from && b.From < next {
				next = b.From
			}
		}
		price := each(p, from)
		if price < 0 || price > dearest {
			o.most = from - 1
			break
		}
		o.tiers = append(o.tiers, tier{from, next - 1, int64(price)})
		from = next
	}
	return o
}

// grid is the row of volumes searched.
type grid struct {
	step   int64 // nanolitres in a cell
	first  int   // first cell that holds the need
	last   int
	enough bool // the stock holds the need
}

// newGrid sets the range of volumes in which the best basket must lie: a basket
// that holds need, cap and the largest pack besides could do without one of them,
// unless every count in it is needed to reach a price break.
func newGrid(need float64, offers []offer, worth Worth) grid {
	var g grid
	target := int64(math.Round(need * nano))
	var largest, stock, breaks int64
	for i := range offers {
		o := &offers[i]
		g.step = gcd(g.step, o.nano)
		largest = max(largest, o.nano)
		stock = min(stock+min(int64(o.most), target/o.nano+1)*o.nano, math.MaxInt64/4)
		if last := o.tiers[len(o.tiers)-1].from; last > 1 {
			breaks = min(breaks+int64(min(float64(last)*float64(o.nano), 1e17)), 1e17)
		}
	}
	if len(offers) == 0 || stock < target {
		return g
	}
	end := target + int64(math.Round(max(worth.Cap, 0)*nano)) + largest
	g.step = max(g.step, (end+mostCells-1)/mostCells)
	g.first = int((target + g.step - 1) / g.step)
	g.last = int(min((max(end, breaks)+g.step-1)/g.step, mostCells))
	reach := 0 // cells the stock holds after rounding down
	for i := range offers {
		o := &offers[i]
		o.cells = int(o.nano / g.step)
		if o.cells == 0 {
			o.most = 0
			continue
		}
		o.most = min(o.most, g.last/o.cells)
		reach = min(reach+o.most*o.cells, mostCells)
	}
	g.enough = reach >= g.first
	return g
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// cell is the least cost to buy a volume exactly, and with how many containers.
type cell struct {
	cost  int64
	packs int32
}

var nothing = cell{cost: math.MaxInt64}

func (a cell) before(b cell) bool { return a.cost < b.cost || a.cost == b.cost && a.packs < b.packs }

// add lets one more pack size into the row of cells and notes how many of it each takes.
func (o *offer) add(without []cell) (with []cell, counts []int32) {
	with = append([]cell(nil), without...)
	counts = make([]int32, len(without))
	if o.cells == 0 {
		return with, counts
	}
	var window []int // places in the row that may still be the best start, best first
	for _, t := range o.tiers {
		to := min(t.to, o.most)
		for start := 0; start < min(o.cells, len(without)) && t.from <= to; start++ {
			// g(k) is the cost of place k less k packs, so that places compare.
			g := func(k int) cell {
				c := without[start+k*o.cells]
				return cell{c.cost - int64(k)*t.each, c.packs - int32(k)}
			}
			window = window[:0]
			for k := t.from; start+k*o.cells < len(without); k++ {
				if enter := k - t.from; without[start+enter*o.cells] != nothing {
					for len(window) > 0 && !g(window[len(window)-1]).before(g(enter)) {
						window = window[:len(window)-1]
					}
					window = append(window, enter)
				}
				for len(window) > 0 && window[0] < k-to {
					window = window[1:]
				}
				if len(window) == 0 {
					continue
				}
				c := g(window[0])
				c.cost, c.packs = c.cost+int64(k)*t.each, c.packs+int32(k)
				if v := start + k*o.cells; c.before(with[v]) {
					with[v], counts[v] = c, int32(k-window[0])
				}
			}
		}
	}
	return with, counts
}

// best is the cell with the least cost less the worth of what is left.
func (g grid) best(cells []cell, need float64, worth Worth) int {
	best, least := -1, math.Inf(1)
	for v := g.first; v < len(cells); v++ {
		if cells[v] == nothing {
			continue
		}
		left := float64(int64(v)*g.step)/nano - need
		value := float64(cells[v].cost) - worth.PerLitre*min(max(left, 0), worth.Cap)
		const equal = 1e-6 // minor units
		if best < 0 || value < least-equal || value < least+equal && cells[v].packs < cells[best].packs {
			best, least = v, value
		}
	}
	return best
}
