package project

import "fmt"

// net is a project as lags between starts, with what follows from them alone.
type net struct {
	*Project
	n     int
	lags  []Lag
	early []int // earliest start
	tail  []int // least time from the start of an activity to the end of the project
}

// newNet works out the windows of a project. It is an error where lags go round in a circle
// that grows.
func newNet(p *Project) (*net, error) {
	n := &net{Project: p, n: len(p.Time), lags: append([]Lag(nil), p.Lags...)}
	for i, then := range p.Then {
		for _, k := range then {
			n.lags = append(n.lags, Lag{i, k, p.Time[i]})
		}
	}
	for _, l := range p.Lags {
		if l.From < 0 || l.From >= n.n || l.To < 0 || l.To >= n.n {
			return nil, fmt.Errorf("a lag from activity %d to %d, which there is not", l.From, l.To)
		}
	}
	n.early, n.tail = make([]int, n.n), make([]int, n.n)
	copy(n.tail, p.Time)
	for round := 0; ; round++ { // label correcting, Bellman 1958
		again := false
		for _, l := range n.lags {
			if at := n.early[l.From] + l.Least; at > n.early[l.To] {
				n.early[l.To], again = at, true
			}
			if at := n.tail[l.To] + l.Least; at > n.tail[l.From] {
				n.tail[l.From], again = at, true
			}
		}
		if !again {
			return n, nil
		}
		if round > n.n {
			return nil, fmt.Errorf("%w: lags go round in a circle and never meet", ErrNone)
		}
	}
}

// apart is the longest way between the starts of any two activities, by lags; far below
// zero where there is none (Floyd 1962).
func (n *net) apart() [][]int {
	way := make([][]int, n.n)
	for i := range way {
		way[i] = make([]int, n.n)
		for k := range way[i] {
			if i != k {
				way[i][k] = noWay
			}
		}
	}
	for _, l := range n.lags {
		way[l.From][l.To] = max(way[l.From][l.To], l.Least)
	}
	for over := range way {
		for i := range way {
			if via := way[i][over]; via > noWay {
				for k, rest := range way[over] {
					way[i][k] = max(way[i][k], via+rest)
				}
			}
		}
	}
	return way
}

const noWay = -1 << 40

// bound is a time no schedule ends before: the longest chain, or the work on a resource over
// its capacity.
func (n *net) bound() int {
	least := 0
	for i := range n.n {
		least = max(least, n.early[i]+n.tail[i])
	}
	for r, c := range n.Capacity {
		work := 0
		for i := range n.n {
			work += n.Time[i] * n.Needs[i][r]
		}
		if c > 0 {
			least = max(least, (work+c-1)/c)
		}
	}
	return least
}

// horizon is a time by which some schedule ends, if there is one: each activity, or the
// longest lag behind it, after all others.
func (n *net) horizon() int {
	long := make([]int, n.n)
	copy(long, n.Time)
	for _, l := range n.lags {
		long[l.From] = max(long[l.From], l.Least)
	}
	sum := 0
	for _, x := range long {
		sum += x
	}
	return max(sum, n.bound())
}

// ends is when the last activity of a schedule ends.
func (n *net) ends(start []int) int {
	end := 0
	for i, at := range start {
		end = max(end, at+n.Time[i])
	}
	return end
}
