// Package experience learns from the crew: what was seen on their walls moves a
// figure of the catalog, and counts for more with every wall.
package experience

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"scumble/catalog"
	"scumble/unit"
)

// oneSided is the 95 % point of the standard normal distribution: 90 % lie between it
// and its mirror image.
const oneSided = 1.6449

// wildAt is how many standard deviations make an observation worth a look (the three
// sigma limits of Shewhart 1931).
const wildAt = 3

// Paces and times lie well within these; what does not is a slip of the pen.
const (
	smallest = 1e-6
	largest  = 1e6
)

// Learned is a figure of the catalog after the crew's walls.
type Learned struct {
	// Figure is the middle wall of the crew: likely the median, low and high the 5 %
	// and 95 % points of what that median may be. Single walls vary more.
	Figure catalog.Figure `json:"figure"`
	Weight float64        `json:"weight"` // of the catalog in it, 0..1
	Count  int            `json:"count"`  // walls it was learned from
	Wild   []Wild         `json:"wild"`   // in the order of the observations
}

// Wild is an observation far from what the catalog and the other walls foretell. It
// counts all the same; whoever knows the wall decides.
type Wild struct {
	Index int     `json:"index"` // among the observations
	Value float64 `json:"value"`
	Low   float64 `json:"low"` // it was to be expected from here
	High  float64 `json:"high"`
}

// Learn joins a figure of the catalog with what was observed on the crew's walls, in
// the unit of the figure. sd is the standard deviation of the logarithm from wall to
// wall, such as 0.20.
//
// The quantity is taken as lognormal from wall to wall, and the logarithm of its
// median as normal: before any wall with mean m = ln likely and standard deviation
//
//	s = (ln high - ln low) / (2 * 1.6449)
//
// which reads low and high as the 5 % and 95 % points; where likely is not in their
// middle, the width is kept and the skew is not. With n observations of mean logarithm
// y it is normal still (Gelman et al., Bayesian Data Analysis, 3rd edition 2013,
// section 2.5, normal with known variance):
//
//	1/v = 1/s² + n/sd²,  mean = v * (m/s² + n*y/sd²)
//
// The weight of the catalog is v/s². Without observations the figure is that of the
// catalog, skew and all. Errors come joined.
func Learn(prior catalog.Figure, observed []float64, sd float64) (Learned, error) {
	if err := check(prior, observed, sd); err != nil {
		return Learned{}, err
	}
	if len(observed) == 0 {
		return Learned{Figure: prior, Weight: 1}, nil
	}
	m := math.Log(prior.Likely)
	known := square(2 * oneSided / (math.Log(prior.High) - math.Log(prior.Low))) // 1/s²
	each := 1 / square(sd)
	logs := make([]float64, len(observed))
	for i, v := range observed {
		logs[i] = math.Log(v)
	}
	slices.Sort(logs) // a sum depends on its order in the last bit; walls have none
	precision := known + float64(len(logs))*each
	mean := (known*m + each*sum(logs)) / precision
	half := oneSided / math.Sqrt(precision)
	l := Learned{Count: len(observed), Weight: known / precision, Wild: wild(observed, m, known, each)}
	l.Figure = catalog.Figure{Low: math.Exp(mean - half), Likely: math.Exp(mean), High: math.Exp(mean + half),
		Unit: prior.Unit, Kind: catalog.Own, Note: l.Words()}
	return l, nil
}

// wild picks the observations more than three standard deviations from what the
// catalog and the others foretell: normal with the mean of their posterior, and its
// variance added to that from wall to wall. The furthest goes first and then foretells
// nothing, or one wild wall would make the sound ones look wild.
func wild(observed []float64, m, known, each float64) []Wild {
	order := make([]int, len(observed)) // by value, so that the order of walls is of no account
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(observed[a], observed[b]), cmp.Compare(a, b)) })
	var found []Wild
	for len(order) > 0 {
		var logs []float64
		for _, i := range order {
			logs = append(logs, math.Log(observed[i]))
		}
		precision := known + float64(len(logs)-1)*each
		reach := wildAt * math.Sqrt(1/precision+1/each)
		total := sum(logs)
		foretold := func(k int) float64 { return (known*m + each*(total-logs[k])) / precision }
		far := 0
		for k := range logs {
			if math.Abs(logs[k]-foretold(k)) > math.Abs(logs[far]-foretold(far)) {
				far = k
			}
		}
		mean := foretold(far)
		if math.Abs(logs[far]-mean) <= reach {
			break
		}
		found = append(found, Wild{order[far], observed[order[far]], math.Exp(mean - reach), math.Exp(mean + reach)})
		order = slices.Delete(order, far, far+1)
	}
	slices.SortFunc(found, func(a, b Wild) int { return cmp.Compare(a.Index, b.Index) })
	return found
}

func sum(values []float64) float64 {
	total := 0.0
	for _, v := range values {
		total += v
	}
	return total
}

func square(x float64) float64 { return x * x }

func check(prior catalog.Figure, observed []float64, sd float64) error {
	var wrong []error
	say := func(format string, values ...any) { wrong = append(wrong, fmt.Errorf(format, values...)) }
	if !(prior.Low >= smallest && prior.Low <= prior.Likely && prior.Likely <= prior.High && prior.High <= largest) {
		say("the catalog's figure %g, %g, %g %s does not rise from above zero to below a million: correct it", prior.Low, prior.Likely, prior.High, prior.Unit)
	} else if !(math.Log(prior.High)-math.Log(prior.Low) > 1e-6) {
		say("the catalog's figure %g %s has no width, so that no wall could move it: give it a low and a high", prior.Likely, prior.Unit)
	}
	if !(sd > 1e-6 && sd <= 10) {
		say("a spread from wall to wall of %g is not above 0 and up to 10: give the standard deviation of the logarithm, such as 0.20", sd)
	}
	for i, v := range observed {
		if !(v >= smallest && v <= largest) {
			say("observation %d, %g %s, is not above zero and below a million: correct it or leave it out", i+1, v, prior.Unit)
		}
	}
	return errors.Join(wrong...)
}

// Words say what the figure rests on: "from 6 of your walls; the catalog still counts
// for 14 %".
func (l Learned) Words() string {
	if l.Count == 0 {
		return "from the catalog; none of your walls yet"
	}
	share := "less than 1 %"
	if l.Weight >= 0.005 {
		share = unit.Figure(l.Weight*100, 0) + " %"
	}
	walls := "1 of your walls"
	if l.Count > 1 {
		walls = unit.Figure(float64(l.Count), 0) + " of your walls"
	}
	return "from " + walls + "; the catalog still counts for " + share
}
