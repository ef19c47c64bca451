package solve

import (
	"testing"

	"pgregory.net/rapid"
)

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
		end := rapid.IntRange(0, 10*day).Draw(t, "end")
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
