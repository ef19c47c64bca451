package drying

import (
	"math"
	"slices"

	"scumble/unit"
)

// Climate is the air of a place hour by hour of its wall clock, counted from the
// midnight before the first day on site. Before the first hour that is known and
// after the last, the nearest whole day goes round again.
type Climate struct {
	First int     // the hour Air begins with; may be negative
	Air   []Air   // one an hour; a single one holds always
	Speed float64 // of the air along the wall, m/s; 0 = the reference
}

const hoursADay = 24

// Steady is air that never changes.
func Steady(a Air) Climate { return Climate{Air: []Air{a}} }

// Daily is air that is warmest, as given, at the hour warmest and falls to night
// half a day later along a cosine. The moisture in it stays the same, so that it
// is dampest when it is coldest; humidity ends at 1.
func Daily(day Air, night unit.Temp, warmest int) Climate {
	c := Climate{Air: make([]Air, hoursADay)}
	vapour := saturation(day.Temp) * float64(day.Humidity)
	for h := range c.Air {
		down := (1 - math.Cos(2*math.Pi*float64(h-warmest)/hoursADay)) / 2
		t := day.Temp - unit.Temp(down)*(day.Temp-night)
		c.Air[h] = Air{Temp: t, Humidity: unit.Humidity(min(1, vapour/saturation(t))), Surface: t + day.Surface - day.Temp}
	}
	return c
}

// At is the air in an hour.
func (c Climate) At(hour float64) Air { return c.Air[c.index(int(math.Floor(hour)))] }

func (c Climate) index(hour int) int {
	i, n := hour-c.First, len(c.Air)
	p := min(n, hoursADay)
	switch {
	case i < 0:
		return ((i % p) + p) % p
	case i >= n:
		return n - p + (i-n)%p
	}
	return i
}

// Steadily reports whether the air never changes.
func (c Climate) Steadily() bool {
	for _, a := range c.Air[1:] {
		if a != c.Air[0] {
			return false
		}
	}
	return true
}

// With is the climate with every hour changed; the climate itself stays.
func (c Climate) With(change func(hour int, a Air) Air) Climate {
	c.Air = slices.Clone(c.Air)
	for i := range c.Air {
		c.Air[i] = change(c.First+i, c.Air[i])
	}
	return c
}

// OnOutsideWall is the climate at a wall with the open air behind it: its surface lies a share
// of the way from the room to the open air.
func (c Climate) OnOutsideWall(share float64, outdoors unit.Temp) Climate {
	return c.With(func(_ int, a Air) Air {
		a.Surface = a.Temp - unit.Temp(share)*(a.Temp-outdoors)
		return a
	})
}

// clock tells how far a process has come: hours at the reference climate, summed
// over the hours of a climate (equivalent age; additive over any split).
type clock struct {
	first      int
	sums       []float64 // sums[i] is what has passed from first to first+i
	head, tail float64   // what passes in the day that goes round before and after
	period     int
}

func (c Climate) clock(pace func(Air) float64) *clock {
	k := &clock{first: c.First, sums: make([]float64, len(c.Air)+1), period: min(len(c.Air), hoursADay)}
	for i, a := range c.Air {
		k.sums[i+1] = k.sums[i] + pace(a)
	}
	n := len(c.Air)
	k.head, k.tail = k.sums[k.period], k.sums[n]-k.sums[n-k.period]
	return k
}

// at is what has passed by an hour, from the first on; negative before it.
func (k *clock) at(hour float64) float64 {
	x, n := hour-float64(k.first), float64(len(k.sums)-1)
	rounds, base := 0.0, 0.0
	p := float64(k.period)
	switch {
	case x < 0:
		rounds = math.Floor(x / p)
		base, x = rounds*k.head, x-rounds*p
	case x > n:
		rounds = math.Floor((x - n) / p)
		base, x = (rounds+1)*k.tail, x-(rounds+1)*p
	}
	i := min(int(x), len(k.sums)-2)
	return base + k.sums[i] + (x-float64(i))*(k.sums[i+1]-k.sums[i])
}

// after is how many hours from start it takes until need has passed; infinite
// where it never does.
func (k *clock) after(start, need float64) float64 {
	if need <= 0 {
		return 0
	}
	if k.tail <= 0 {
		last := float64(k.first + len(k.sums) - 1)
		if k.at(max(last, start))-k.at(start) < need {
			return math.Inf(1)
		}
	}
	goal := k.at(start) + need
	whole := int(math.Floor(start)) // the process is not over at this hour, and is at that one
	over, step := whole+1, 1
	for k.at(float64(over)) < goal {
		whole, over, step = over, over+step, 2*step
	}
	for over-whole > 1 {
		if middle := (whole + over) / 2; k.at(float64(middle)) < goal {
			whole = middle
		} else {
			over = middle
		}
	}
	from := max(start, float64(whole)) // between two hours it is a straight line
	a, b := k.at(from), k.at(float64(over))
	if b <= a {
		return float64(over) - start
	}
	return from + (float64(over)-from)*(goal-a)/(b-a) - start
}
