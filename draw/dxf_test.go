package draw

import (
	"bytes"
	"math"
	"os"
	"strings"
	"testing"
)

func dxfLayers() []Layer {
	return []Layer{
		{Name: "Wall North", Shapes: []Shape{
			CADPolyline{Points: []Point{{}, {X: 4200}, {X: 4200, Y: 2700}, {Y: 2700}}, Closed: true},
			CADLine{Pt(0, 900), Pt(4200, 900)}}},
		{Name: "set-out", Colour: 5, Dashed: true, Shapes: []Shape{
			CADCircle{Pt(2100, 1350), 300}, CADArc{Pt(2100, 1350), 400, 0, 90},
			CADText{At: Pt(2100, 2000), Height: 60, Text: "दीवार 2 m²", Align: Centre}, CADText{At: Pt(-50, 1350), Height: 40, Text: "plain", Rotation: 90}}},
	}
}

func dxfOf(t testing.TB, layers []Layer) string {
	t.Helper()
	var b bytes.Buffer
	if err := WriteDXF(&b, layers); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestDXFGolden(t *testing.T) {
	got := dxfOf(t, dxfLayers())
	const file = "testdata/wall.dxf"
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Error("the drawing differs from testdata/wall.dxf")
	}
}

func TestDXFIsPairsOfASCIILines(t *testing.T) {
	text := dxfOf(t, append(dxfLayers(), Layer{Name: "\n0\nEOF", Shapes: []Shape{
		CADText{Height: 1, Text: "two\nlines \U0001F3A8 " + strings.Repeat("ä", 100)},
		CADLine{Pt(math.NaN(), 0), Pt(math.Inf(1), 0)}, CADPolyline{}, CADCircle{R: -1}}}))
	lines := strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n")
	if len(lines)%2 != 0 {
		t.Fatalf("%d lines are not pairs", len(lines))
	}
	for i, l := range lines {
		if len(l) > 255 {
			t.Errorf("line %d has %d characters", i+1, len(l))
		}
		for _, c := range []byte(l) {
			if c < ' ' || c > '~' {
				t.Fatalf("line %d holds byte %#x", i+1, c)
			}
		}
		if i%2 == 0 && strings.Trim(l, " 0123456789") != "" {
			t.Errorf("line %d should be a group code: %q", i+1, l)
		}
	}
	for _, want := range []string{`two lines \U+D83C\U+DFA8`, "WALL_NORTH", "_0_EOF"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q", want)
		}
	}
}
