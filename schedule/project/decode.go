package project

// schedule is where activities lie: all starts as early as the ones before allow (forward),
// or all ends as late as the ones after allow (backward, with times from the end).
type schedule struct {
	start []int
	span  int // makespan
}

// decoder builds schedules one activity after the other. It keeps its working memory.
type decoder struct {
	*instance
	used  []uint64 // by time and word
	left  []int    // activities before (or after) that are not placed yet
	heap  []int32  // of placeable activities, by key
	keys  []float64
	count int // schedules built
}

func newDecoder(in *instance) *decoder {
	return &decoder{instance: in, used: make([]uint64, (in.horizon+1)*in.words), left: make([]int, in.n)}
}

// forward builds from the start: each activity as early as can be.
func (d *decoder) forward(keys []float64, out *schedule) {
	d.build(keys, d.before, d.then, out)
}

// backward builds from the end: each activity as late as can be. Times are then counted from
// the first start, at 0.
func (d *decoder) backward(keys []float64, out *schedule) {
	d.build(keys, d.then, d.before, out)
	for i := range d.n {
		out.start[i] = out.span - out.start[i] - d.time[i]
	}
}

// build places activities by the least key among those whose predecessors are placed, each
// as early as precedence and capacities allow (serial generation, Kelley 1963).
func (d *decoder) build(keys []float64, before, then [][]int, out *schedule) {
	d.count++
	d.keys, d.heap = keys, d.heap[:0]
	clear(d.used)
	out.span = 0
	for i := range d.n {
		if d.left[i] = len(before[i]); d.left[i] == 0 {
			d.push(int32(i))
		}
	}
	for len(d.heap) > 0 {
		i := int(d.pop())
		from := 0
		for _, k := range before[i] {
			from = max(from, out.start[k]+d.time[k])
		}
		out.start[i] = d.place(i, from)
		out.span = max(out.span, out.start[i]+d.time[i])
		for _, k := range then[i] {
			if d.left[k]--; d.left[k] == 0 {
				d.push(int32(k))
			}
		}
	}
}

// place finds the first time from which an activity fits, and takes it.
func (d *decoder) place(i, from int) int {
	long := d.time[i]
	if long == 0 {
		return from
	}
	if d.words == 1 {
		need, room, guard := d.need[i][0], d.room[0], d.guard[0]
		if need != 0 {
			for t := from + long - 1; t >= from; t-- {
				if (room-d.used[t]-need)&guard != guard {
					from = t + 1
					t = from + long
				}
			}
			for t := from; t < from+long; t++ {
				d.used[t] += need
			}
		}
		return from
	}
	for t := from + long - 1; t >= from; t-- {
		for w := range d.words {
			if (d.room[w]-d.used[t*d.words+w]-d.need[i][w])&d.guard[w] != d.guard[w] {
				from = t + 1
				t = from + long
				break
			}
		}
	}
	for t := from; t < from+long; t++ {
		for w := range d.words {
			d.used[t*d.words+w] += d.need[i][w]
		}
	}
	return from
}

// push and pop keep the placeable activities in a binary heap by key, then by number.
func (d *decoder) push(i int32) {
	d.heap = append(d.heap, i)
	at := len(d.heap) - 1
	for at > 0 {
		up := (at - 1) / 2
		if !d.sooner(d.heap[at], d.heap[up]) {
			break
		}
		d.heap[at], d.heap[up] = d.heap[up], d.heap[at]
		at = up
	}
}

func (d *decoder) pop() int32 {
	top := d.heap[0]
	last := len(d.heap) - 1
	d.heap[0] = d.heap[last]
	d.heap = d.heap[:last]
	at := 0
	for {
		down := 2*at + 1
		if down >= last {
			break
		}
		if down+1 < last && d.sooner(d.heap[down+1], d.heap[down]) {
			down++
		}
		if !d.sooner(d.heap[down], d.heap[at]) {
			break
		}
		d.heap[at], d.heap[down] = d.heap[down], d.heap[at]
		at = down
	}
	return top
}

func (d *decoder) sooner(a, b int32) bool {
	return d.keys[a] < d.keys[b] || d.keys[a] == d.keys[b] && a < b
}
