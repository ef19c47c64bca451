// Package project places activities that share renewable resources so that the last ends as
// early as can be: the resource-constrained project scheduling problem. It knows activities,
// precedence and capacities, and nothing of paint, people or calendars.
package project

import (
	"errors"
	"fmt"
	"math/bits"
)

// Project is what is to be placed. Activities are numbered from 0; times are whole units.
type Project struct {
	Time     []int   // of each activity, 0 or more
	Needs    [][]int // by activity and resource, held from start to end
	Capacity []int   // by resource
	Then     [][]int // activities that begin when one has ended or later
	Lags     []Lag   // between starts
}

// Lag is: To begins Least after From begins, or later. A latest start is a lag the other way
// that is negative: where To must begin within 10 after From, From begins -10 after To or later.
type Lag struct{ From, To, Least int }

// ErrNone is wrapped by errors of projects that have no schedule at all.
var ErrNone = errors.New("no schedule exists")

// instance is a project made ready for searching: activities in an order in which each comes
// after all before it, and needs packed into words.
type instance struct {
	n       int
	time    []int
	then    [][]int
	before  [][]int
	order   []int      // topological
	words   int        // of a packed need
	need    [][]uint64 // by activity
	room    []uint64   // capacities, with the guard bit of each lane set
	guard   []uint64
	horizon int
}

// lane is the width of one resource in a word: 15 bits of amount and a guard above them, so
// that one subtraction tells whether all of up to four resources suffice.
const (
	lane     = 16
	lanes    = 64 / lane
	mostLane = 1<<(lane-1) - 1
)

func ready(p *Project) (*instance, error) {
	n := len(p.Time)
	if len(p.Needs) != n || len(p.Then) != n {
		return nil, fmt.Errorf("%d activities, but needs of %d and successors of %d", n, len(p.Needs), len(p.Then))
	}
	in := &instance{n: n, time: p.Time, then: p.Then, before: make([][]int, n), words: (len(p.Capacity) + lanes - 1) / lanes}
	in.words = max(1, in.words)
	in.room, in.guard = make([]uint64, in.words), make([]uint64, in.words)
	for r, c := range p.Capacity {
		if c < 0 || c > mostLane {
			return nil, fmt.Errorf("resource %d has a capacity of %d; it can be from 0 to %d", r, c, mostLane)
		}
		in.guard[r/lanes] |= 1 << (r%lanes*lane + lane - 1)
		in.room[r/lanes] |= uint64(c) << (r % lanes * lane)
	}
	for w := range in.room {
		in.room[w] |= in.guard[w]
	}
	for i := range n {
		if p.Time[i] < 0 || len(p.Needs[i]) != len(p.Capacity) {
			return nil, fmt.Errorf("activity %d: a time of %d and needs of %d resources of %d", i, p.Time[i], len(p.Needs[i]), len(p.Capacity))
		}
		packed := make([]uint64, in.words)
		for r, a := range p.Needs[i] {
			if a < 0 || a > p.Capacity[r] && p.Time[i] > 0 {
				return nil, fmt.Errorf("%w: activity %d needs %d of resource %d, which has %d", ErrNone, i, a, r, p.Capacity[r])
			}
			packed[r/lanes] |= uint64(a) << (r % lanes * lane)
		}
		in.need = append(in.need, packed)
		in.horizon += p.Time[i]
		for _, k := range p.Then[i] {
			if k < 0 || k >= n {
				return nil, fmt.Errorf("activity %d is followed by %d, which there is not", i, k)
			}
			in.before[k] = append(in.before[k], i)
		}
	}
	if err := in.sort(); err != nil {
		return nil, err
	}
	return in, nil
}

// sort orders the activities so that each comes after all before it (Kahn 1962).
func (in *instance) sort() error {
	open := make([]int, in.n)
	for i := range in.n {
		open[i] = len(in.before[i])
	}
	var free []int
	for i := range in.n {
		if open[i] == 0 {
			free = append(free, i)
		}
	}
	for len(free) > 0 {
		i := free[0]
		free = free[1:]
		in.order = append(in.order, i)
		for _, k := range in.then[i] {
			if open[k]--; open[k] == 0 {
				free = append(free, k)
			}
		}
	}
	if len(in.order) < in.n {
		for i := range in.n {
			if open[i] > 0 {
				return fmt.Errorf("%w: activity %d waits in a circle for itself", ErrNone, i)
			}
		}
	}
	return nil
}

// chance is a sequence of random numbers from a seed (splitmix64, Steele, Lea and Flood 2014).
type chance struct{ state uint64 }

func (c *chance) next() uint64 {
	c.state += 0x9e3779b97f4a7c15
	z := c.state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// below is a number from 0 to n-1.
func (c *chance) below(n int) int {
	high, _ := bits.Mul64(c.next(), uint64(n))
	return int(high)
}

// unit is a number from 0 up to 1.
func (c *chance) unit() float64 { return float64(c.next()>>11) / (1 << 53) }
