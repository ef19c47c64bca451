package job

import (
	"strings"
	"testing"
)

func TestImportMeasured(t *testing.T) {
	card := Measured{Name: "card: white", From: 400, Step: 40, Values: []float64{0.5, 0.625, 0.75, 0.8}, Under: "D50", Source: "a.cxf"}
	lab := Measured{Name: "lab", Lab: []float64{50, -2.5, 9}, Under: "D65"}
	for name, before := range map[string]string{
		"no list":    "scumble: 1 # keep\nname: A\n",
		"empty list": "scumble: 1\nmeasured: []\nname: A\n",
		"a list":     "scumble: 1\nmeasured:\n    - name: old # mine\n      lab: [1, 2, 3]\nname: A\n",
		"windows":    "scumble: 1\r\nname: A\r\n",
	} {
		text, names, problems := ImportMeasured([]byte(before), []Measured{card, lab})
		if len(problems) > 0 {
			t.Errorf("%s: %v", name, problems)
			continue
		}
		f, problems := Read("after", text)
		n := len(f.Job.Measured)
		if len(problems) > 0 || n < 2 || f.Job.Measured[n-2].Values[3] != 0.8 || f.Job.Measured[n-1].Lab[1] != -2.5 || f.Job.Name != "A" || len(names) != 2 {
			t.Errorf("%s: %v\n%s", name, problems, text)
		}
		for _, kept := range []string{"# keep", "# mine", "\r\n"} {
			if strings.Contains(before, kept) && !strings.Contains(string(text), kept) {
				t.Errorf("%s: %q was lost", name, kept)
			}
		}
		again, names, _ := ImportMeasured(text, []Measured{card})
		if string(again) != string(text) || names[0] != "card: white" {
			t.Errorf("%s: the same colour was added again: %v", name, names)
		}
		other := card
		other.Values = []float64{0.1, 0.2, 0.3, 0.4}
		if _, names, problems := ImportMeasured(text, []Measured{other}); len(problems) > 0 || names[0] != "card: white (2)" {
			t.Errorf("%s: another colour of the same name: %v %v", name, names, problems)
		}
	}
	if _, _, problems := ImportMeasured([]byte("scumble: [1"), []Measured{card}); len(problems) == 0 {
		t.Error("a broken job was changed")
	}
	if _, _, problems := ImportMeasured([]byte("scumble: 1\nmeasured: [{name: x, lab: [1, 2, 3]}]\n"), []Measured{card}); len(problems) == 0 {
		t.Error("a list in braces was changed without a word")
	}
}
