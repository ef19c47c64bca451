package price

import (
	"math"
	"math/rand/v2"
	"slices"

	"scumble/unit"
)

const trials = 2000

// z90 is the ninetieth percentile of the standard normal distribution. The low
// and high figures of an estimate are read as the tenth and the ninetieth of a
// hundred days.
const z90 = 1.2815515655446004

// spread is a right-skewed estimate: its median is likely and its tenth and
// ninetieth percentiles are low and high.
type spread struct {
	likely   float64
	down, up float64 // log-sd below and above the median
	own      float64 // share of the deviation that is this face's own
	shared   float64 // share that all faces of the crew have together
}

// newSpread fits an estimate. face is the log-sd of the pace from face to face;
// what the range has beyond it moves all faces together, because a crew that is
// slower than the catalog is so on every wall.
func newSpread(low, likely, high, face float64) spread {
	s := spread{likely: likely, shared: 1}
	if !(low > 0 && low <= likely && likely <= high) || math.IsInf(high, 1) {
		return s
	}
	s.down, s.up = math.Log(likely/low)/z90, math.Log(high/likely)/z90
	if whole := (s.down + s.up) / 2; whole > 0 {
		s.own = min(1, max(0, face)/whole)
		s.shared = math.Sqrt(1 - s.own*s.own)
	}
	return s
}

// at is the value at the given standard deviates.
func (s *spread) at(shared, own float64) float64 {
	z := s.shared*shared + s.own*own
	switch {
	case z > 0 && s.up > 0:
		return s.likely * math.Exp(s.up*z)
	case z < 0 && s.down > 0:
		return s.likely * math.Exp(s.down*z)
	}
	return s.likely
}

// bought is a purchase in the trials: what is needed beyond it is bought again,
// what is left over was paid. Needs move together: a glaze that spreads badly
// does so on every wall.
type bought struct {
	need   spread
	bought float64
	each   float64 // money per unit of need
	enough float64 // deviate up to which the purchase is enough
}

func newBought(need spread, amount, each float64) bought {
	b := bought{need, amount, each, math.Inf(1)}
	switch {
	case need.likely > amount:
		b.enough = math.Inf(-1)
	case need.up > 0:
		b.enough = math.Log(amount/need.likely) / need.up
	}
	return b
}

// risk is everything of the cost that is not certain. The order of its slices
// is fixed by names, so that the same job gives the same draws in any order.
type risk struct {
	fixed     float64 // money
	hours     []spread
	rate      float64 // money an hour
	purchases []bought
	perDay    float64 // money of travel for one more site day
	dayHours  float64 // person-hours the crew works on a site day
	planned   float64 // person-hours of the likely plan
}

// percentiles runs the trials and gives the tenth, eightieth and ninetieth
// percentile of the price; toPrice turns cost into price.
func (r *risk) percentiles(seed int64, toPrice func(float64) unit.Money) (p10, p80, p90 unit.Money) {
	random := rand.New(rand.NewPCG(uint64(seed), 0x5c0b1e)) // the second half only has to be fixed
	costs := make([]float64, trials)
	for t := range costs {
		// one draw from each equal slice of the crews: less noise for the same work
		crew := math.Sqrt2 * math.Erfinv(2*(float64(t)+random.Float64())/trials-1)
		if math.IsInf(crew, 0) {
			crew = 0
		}
		spreading := random.NormFloat64()
		hours := 0.0
		for i := range r.hours {
			hours += r.hours[i].at(crew, random.NormFloat64())
		}
		cost := r.fixed + hours*r.rate
		for i := range r.purchases {
			p := &r.purchases[i]
			if spreading > p.enough {
				cost += max(0, p.need.at(spreading, 0)-p.bought) * p.each
			}
		}
		if more := hours - r.planned; more > 0 && r.dayHours > 0 {
			cost += more / r.dayHours * r.perDay
		}
		costs[t] = cost
	}
	slices.Sort(costs)
	rank := func(share float64) unit.Money { return toPrice(costs[int(math.Ceil(share*trials))-1]) }
	return rank(0.10), rank(0.80), rank(0.90)
}
