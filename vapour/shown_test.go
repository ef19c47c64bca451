package vapour_test

import (
	"testing"
	"time"
)

// What is shown of a room holds its peak and its limits, and the windows stand open in as many
// points of the series as in the spells told of it.
func TestShown(t *testing.T) {
	for _, r := range demo(t).Air.Rooms {
		if len(r.Series) == 0 {
			continue
		}
		from, days, highest := r.Shown(1)
		end := from.AddDate(0, 0, days)
		if r.Peak.At.Before(from) || r.Peak.At.After(end) || r.Peak.Level.High > highest {
			t.Errorf("%s: shown from %v to %v up to %v, not the peak %v", r.Name, from, end, highest, r.Peak)
		}
		var open, told time.Duration
		for i := 1; i < len(r.Series) && !r.Series[i].At.After(end); i++ {
			if r.Series[i].Aired {
				open += r.Series[i].At.Sub(r.Series[i-1].At)
			}
		}
		spells := r.Open(end)
		for i, s := range spells {
			told += s[1].Sub(s[0])
			if i > 0 && !s[0].After(spells[i-1][1]) {
				t.Errorf("%s: the spells %v and %v meet", r.Name, spells[i-1], s)
			}
		}
		if open == 0 || told != open {
			t.Errorf("%s: open for %v in the series, for %v in the spells", r.Name, open, told)
		}
	}
}

// Mixes that differ in colour only are told once; none is left out.
func TestApart(t *testing.T) {
	air := demo(t).Air
	apart := air.Apart()
	if len(apart) == 0 || len(apart) >= len(air.Mixes) {
		t.Fatalf("%d apart of %d", len(apart), len(air.Mixes))
	}
	seen := map[string]int{}
	for i := range apart {
		seen[apart[i].Thinned()]++
	}
	for i := range air.Mixes {
		if n := seen[air.Mixes[i].Thinned()]; n != 1 {
			t.Errorf("%s is told %d times", air.Mixes[i].Thinned(), n)
		}
	}
}
