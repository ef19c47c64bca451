package dxffile

import (
	"strings"
	"testing"

	"scumble/geom"
)

func TestLayerNames(t *testing.T) {
	for name, want := range map[string]string{"": "0", "wall 1/ä": "WALL_1__", "SET-OUT_$1": "SET-OUT_$1", strings.Repeat("x", 50): strings.Repeat("X", 31)} {
		if got := layerName(name); got != want {
			t.Errorf("layerName(%q) = %q, want %q", name, got, want)
		}
	}
}

func TestLongTextIsCutBetweenCharacters(t *testing.T) {
	got := asciiText("a" + strings.Repeat("ä", 60)) // 7 bytes each: the 36th would pass 250
	if want := "a" + strings.Repeat(`\U+00E4`, 35); got != want {
		t.Errorf("%d bytes end in %q", len(got), got[len(got)-10:])
	}
}

// pairs reads a file back as code and value.
func pairs(t *testing.T, file []byte) (out [][2]string) {
	t.Helper()
	lines := strings.Split(strings.TrimSuffix(string(file), "\r\n"), "\r\n")
	if len(lines)%2 != 0 {
		t.Fatalf("%d lines are not pairs", len(lines))
	}
	for i := 0; i < len(lines); i += 2 {
		out = append(out, [2]string{strings.TrimSpace(lines[i]), strings.TrimSpace(lines[i+1])})
	}
	return out
}

func TestExtentHoldsAllThatIsDrawn(t *testing.T) {
	d := New()
	d.Circle(geom.Point{X: 100, Y: 50}, 30)
	d.Line(geom.Point{X: 0, Y: 60}, geom.Point{X: 90, Y: 300})
	text := string(d.Bytes())
	for _, want := range []string{"$EXTMIN\r\n 10\r\n0.000000\r\n 20\r\n20.000000\r\n", "$EXTMAX\r\n 10\r\n130.000000\r\n 20\r\n300.000000\r\n"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q", want)
		}
	}
	empty := string(New().Bytes())
	if want := "$EXTMAX\r\n 10\r\n0.000000\r\n 20\r\n0.000000"; !strings.Contains(empty, want) {
		t.Error("an empty drawing has an extent")
	}
}

func TestLayersOfOneNameAreOne(t *testing.T) {
	d := New()
	d.Layer("wall", 3, true)
	d.Layer("WALL", 5, false)
	d.Layer("floor", 999, false)
	var layers []string
	ps := pairs(t, d.Bytes())
	for i, p := range ps {
		if p == [2]string{"0", "LAYER"} {
			layers = append(layers, ps[i+1][1]+" "+ps[i+3][1]+" "+ps[i+4][1])
		}
	}
	if got, want := strings.Join(layers, ", "), "0 7 CONTINUOUS, WALL 3 DASHED, FLOOR 7 CONTINUOUS"; got != want {
		t.Errorf("layers %s, want %s", got, want)
	}
}
