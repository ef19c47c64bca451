package history

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestDiff: taking out and putting in what it says leads from one text to the other.
func TestDiff(t *testing.T) {
	texts := rapid.SliceOfN(rapid.SampledFrom([]string{"a", "b", "c", "", "  d"}), 0, 30)
	rapid.Check(t, func(t *rapid.T) {
		old, fresh := texts.Draw(t, "old"), texts.Draw(t, "new")
		var before, after []string
		for _, l := range matched(old, fresh) {
			if l.Sign != "+" {
				before = append(before, l.Text)
			}
			if l.Sign != "−" {
				after = append(after, l.Text)
			}
		}
		if strings.Join(before, "\n") != strings.Join(old, "\n") || strings.Join(after, "\n") != strings.Join(fresh, "\n") {
			t.Fatalf("%q to %q", old, fresh)
		}
	})
}

func TestDiffShowsOnlyWhatIsNear(t *testing.T) {
	a := strings.Repeat("same\n", 50) + "old\n" + strings.Repeat("more\n", 50)
	b := strings.Replace(a, "old", "new", 1)
	got := diff(a, b)
	if len(got) > 8 || !strings.Contains(got[2].Text+got[3].Text+got[4].Text, "old") {
		t.Errorf("%d lines: %v", len(got), got)
	}
	if len(diff(a, a)) != 0 {
		t.Error("the same text differs")
	}
}
