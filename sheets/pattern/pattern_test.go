package pattern

import (
	"reflect"
	"testing"

	"scumble/catalog"
	"scumble/draw"
	"scumble/geom"
	"scumble/job"
)

func sample(technique, variation string) *job.Finish {
	return &job.Finish{ID: "x", Technique: technique, Variation: variation,
		Ground: job.Colour{Hex: "#eeeeee"}, GroundB: job.Colour{Hex: "#cccccc"}, Glaze: job.Colour{Hex: "#446688"}, GlazeB: job.Colour{Hex: "#886644"}}
}

func patch(technique, variation string, strokes int) Patch {
	return Patch{Name: "Room/Wall", Region: geom.Rect(0, 0, 4000, 2600).Region(), Finish: sample(technique, variation), Height: 2600, Strokes: strokes}
}

func patternItems(p Patch, scale float64) []draw.Item {
	return p.Draw(Place{S: 1 / scale, Y: 2600 / scale}).(draw.Group).Items
}

// TestEveryTechniqueOfTheCatalogHasAPattern: ten techniques, none left to the
// plain fill.
func TestEveryTechniqueOfTheCatalogHasAPattern(t *testing.T) {
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	for id := range c.Techniques {
		if patterns[id] == nil {
			t.Errorf("%s is drawn as a plain fill", id)
		}
	}
	if len(c.Techniques) < 10 {
		t.Errorf("only %d techniques", len(c.Techniques))
	}
}

func TestUnknownTechniqueIsAPlainFill(t *testing.T) {
	items := patternItems(patch("something-new", "", 700), 25)
	if len(items) != 1 || items[0].(draw.Path).Stroke.Width != 0 {
		t.Errorf("%d items, want one fill", len(items))
	}
}

// TestPatternsAreBounded: few paths, and no more strokes than asked for by a factor
// that covers rows of teeth and pairs of strokes, at any scale.
func TestPatternsAreBounded(t *testing.T) {
	for id := range patterns {
		for _, scale := range []float64{10, 50, 300} {
			items := patternItems(patch(id, "", 90), scale)
			segments := 0
			for _, item := range items {
				segments += len(item.(draw.Path).Outline)
			}
			if len(items) > 8 || segments > 90*20 {
				t.Errorf("%s at 1:%g: %d paths, %d segments", id, scale, len(items), segments)
			}
			if len(items) < 2 {
				t.Errorf("%s at 1:%g draws nothing", id, scale)
			}
		}
	}
}

func TestPatternsRepeatAndDiffer(t *testing.T) {
	seen := map[string]string{}
	for id := range patterns {
		a, b := patternItems(patch(id, "", 300), 25), patternItems(patch(id, "", 300), 25)
		if !reflect.DeepEqual(a, b) {
			t.Errorf("%s is not drawn the same way twice", id)
		}
		for other := range patterns {
			if other != id && reflect.DeepEqual(a, patternItems(patch(other, "", 300), 25)) {
				seen[id] = other
			}
		}
	}
	if len(seen) > 0 {
		t.Errorf("patterns alike: %v", seen)
	}
	for id, variation := range map[string]string{"dragging": "criss-cross", "combing": "squares", "colourwash": "swirl", "sponging-off": "swirl"} {
		if reflect.DeepEqual(patternItems(patch(id, "", 300), 25), patternItems(patch(id, variation, 300), 25)) {
			t.Errorf("%s looks the same with the variation %s", id, variation)
		}
	}
}

func TestBlend(t *testing.T) {
	if got := blend(0x000000ff, 0xffffffff, 0.5); got != 0x808080ff {
		t.Errorf("half of black and white is %v", got)
	}
	if got := blend(0x102030ff, 0xffffffff, 0); got != 0x102030ff {
		t.Errorf("none of the second is %v", got)
	}
	if Colour(job.Colour{Hex: "nonsense"}).Alpha() != 1 {
		t.Error("a colour that cannot be read is not drawn")
	}
}
