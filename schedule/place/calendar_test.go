package place

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawCalendar makes a calendar and the plain truth about it, minute by minute.
func drawCalendar(t *rapid.T) (*Calendar, []bool) {
	spans := [][]Span{{{From: 480, To: 720}, {From: 780, To: 1020}}, {{From: 450, To: 1000}}, {{From: 0, To: 60}, {From: 61, To: 100}, {From: 1380, To: 1440}}}[rapid.IntRange(0, 2).Draw(t, "spans")]
	weekly := [7]bool{}
	weekly[rapid.IntRange(0, 6).Draw(t, "day")] = true
	for d := range weekly {
		weekly[d] = weekly[d] || rapid.Bool().Draw(t, "open")
	}
	closed := map[int]bool{rapid.IntRange(0, 10).Draw(t, "closed"): true}
	weekday := rapid.IntRange(0, 6).Draw(t, "weekday")
	open := make([]bool, 28*Day)
	for n := range 28 {
		for _, s := range spans {
			for m := s.From; m < s.To; m++ {
				open[n*Day+m] = weekly[(weekday+n)%7] && !closed[n]
			}
		}
	}
	return NewCalendar(spans, weekday, weekly, closed), open
}

func TestCalendarAgreesWithAMinuteScan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, open := drawCalendar(t)
		var minutes []int // site minute of each work minute
		for at, is := range open {
			if is {
				minutes = append(minutes, at)
			}
		}
		for range 50 {
			w := rapid.IntRange(1, len(minutes)-1).Draw(t, "w")
			if c.Begins(w) != minutes[w] || c.Ends(w) != minutes[w-1]+1 {
				t.Fatalf("work minute %d begins at %d and ends at %d, want %d and %d", w, c.Begins(w), c.Ends(w), minutes[w], minutes[w-1]+1)
			}
			at := rapid.IntRange(0, minutes[len(minutes)-1]).Draw(t, "at")
			from, _ := slices.BinarySearch(minutes, at)
			if c.From(at) != from {
				t.Fatalf("from %d: %d, want %d", at, c.From(at), from)
			}
			if got := c.UpTo(at); got != from { // as many work minutes have ended as began before
				t.Fatalf("up to %d: %d, want %d", at, got, from)
			}
		}
	})
}

func TestWaitsInHoursOfWorkAgreeWithAMinuteScan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, open := drawCalendar(t)
		worked := func(from, to int) (n int) {
			for at := from; at < to; at++ {
				if open[at] {
					n++
				}
			}
			return n
		}
		end := rapid.IntRange(0, 10*Day).Draw(t, "end")
		lag, until := rapid.IntRange(0, 300).Draw(t, "lag"), rapid.IntRange(1, 400).Draw(t, "until")
		if worked(end, len(open)) < lag+until+1 {
			return
		}
		from, to := c.InWork(lag, until)(end)
		if worked(end, end+from) != lag || from > 0 && lag > 0 && worked(end, end+from-1) != lag-1 {
			t.Fatalf("from %d after %d: %d minutes of work, want %d", from, end, worked(end, end+from), lag)
		}
		if worked(end, end+to) != until || !open[end+to] {
			t.Fatalf("until %d after %d: %d minutes of work, want %d and the next begins", to, end, worked(end, end+to), until)
		}
		if lag == 0 && from != 0 {
			t.Fatalf("no wait takes %d", from)
		}
		if again, _ := c.InWork(lag, until)(end + 1); end+1+again < end+from {
			t.Fatal("a later end makes an earlier start")
		}
	})
}
