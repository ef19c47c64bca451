package stroke

import "math"

// profileStep is the width of one step of a profile, mm: a quarter of the thinnest line.
const profileStep = 0.25

// profile is the film that a row of bristles or teeth leaves across its width, as a
// share of the film it finds. Its mean is 1, for what is ploughed out of one place
// stands beside it. It is kept as a running sum, so that any width averages at once.
type profile struct {
	width float64   // mm
	sum   []float64 // over the steps before; the last is that of all
}

// newProfile is the profile whose steps have these shares, brought to mean 1.
// Weights tell how much each step counts; nil counts all alike.
func newProfile(shares, weights []float64) profile {
	p := profile{width: float64(len(shares)) * profileStep, sum: make([]float64, len(shares)+1)}
	var sum, count float64
	for i, v := range shares {
		w := 1.0
		if weights != nil {
			w = weights[i]
		}
		sum += w * v
		count += w
	}
	for i, v := range shares {
		p.sum[i+1] = p.sum[i] + v*count/sum
	}
	return p
}

// upTo is the sum over the profile left of a place, in steps.
func (p *profile) upTo(at float64) float64 {
	v := at / profileStep
	i := min(max(int(v), 0), len(p.sum)-2)
	return p.sum[i] + (p.sum[i+1]-p.sum[i])*(v-float64(i))
}

// mean is the mean share within half a window to each side of a place, as far as the
// profile goes.
func (p *profile) mean(at, window float64) float64 {
	lo, hi := max(at-window/2, 0), min(at+window/2, p.width)
	if hi-lo < profileStep {
		middle := min(max((lo+hi)/2, profileStep/2), p.width-profileStep/2)
		lo, hi = middle-profileStep/2, middle+profileStep/2
	}
	return (p.upTo(hi) - p.upTo(lo)) / ((hi - lo) / profileStep)
}

// grain is how far apart the entries of a table for a pitch lie, mm: close enough to
// show the side of a tool however wide the pitch.
func grain(pitch float32) float64 {
	return math.Min(math.Max(profileStep, float64(pitch)/2), 2)
}

// table averages the profile for places a pitch apart; its entries lie a grain apart
// and there is one more than needed, so that the last can be read beside its neighbour.
func (p *profile) table(into []float32, pitch float32) {
	step := grain(pitch)
	for i := range into {
		into[i] = float32(p.mean(float64(i)*step, float64(pitch)))
	}
}

// entries is how long a table across a width is.
func entries(width float64, pitch float32) int { return int(width/grain(pitch)) + 3 }

// standard shifts and scales values to mean 0 and variance 1.
func standard(v []float64) []float32 {
	var sum, squares float64
	for _, x := range v {
		sum += x
	}
	mean := sum / float64(len(v))
	for _, x := range v {
		squares += (x - mean) * (x - mean)
	}
	scale := 1 / math.Sqrt(squares/float64(len(v)))
	out := make([]float32, len(v))
	for i, x := range v {
		out[i] = float32((x - mean) * scale)
	}
	return out
}
