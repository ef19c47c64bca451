//go:build oracle

package elevation

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"scumble/draw"
)

// TestDXFInAnIndependentReader opens walls with ezdxf (Debian: python3-ezdxf).
func TestDXFInAnIndependentReader(t *testing.T) {
	const script = `
import ezdxf, json, sys
doc = ezdxf.readfile(sys.argv[1])
errors = doc.audit().errors
m = doc.modelspace()
print(json.dumps({
  "errors": len(errors),
  "layers": sorted({e.dxf.layer for e in m}),
  "marks": sorted(e.dxf.text for e in m.query("TEXT[layer=='MARKS']")),
  "joints": sorted({round(e.dxf.start.x, 3) for e in m.query("LINE[layer=='JOINTS']")}),
  "width": max(p.dxf.location.x for e in m.query("POLYLINE[layer=='WALL']") for p in e.vertices),
}))`
	v := viewOf(t, "Breakfast room/East")
	content, err := DXF(v)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "wall.dxf")
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("/usr/bin/python3", "-c", script, path).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	var got struct {
		Errors int
		Layers []string
		Marks  []string
		Joints []float64
		Width  float64
	}
	if err := json.Unmarshal(out, &got); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	marks := v.Fields[0].Strips.Marks
	if got.Errors != 0 || got.Width != 3620 || len(got.Marks) != len(marks)+2 {
		t.Errorf("read %+v, want no errors, width 3620 and %d figures", got, len(marks)+2)
	}
	for _, layer := range []string{"WALL", "OPENINGS", "TRIM", "JOINTS", "MARKS"} {
		if !strings.Contains(strings.Join(got.Layers, " "), layer) {
			t.Errorf("no layer %s in %v", layer, got.Layers)
		}
	}
}

// TestPDFOfWalls checks a file of elevations with qpdf and reads its figures back
// with pdftotext (Debian: qpdf, poppler-utils).
func TestPDFOfWalls(t *testing.T) {
	f := draw.NewFonts()
	doc := draw.Doc{Title: "walls", Lang: "en"}
	j, s, so := demo(t)
	views := Walls(j, s, so)
	for _, v := range views {
		d := Wall(f, v, Options{W: 261, H: 165, Reach: testReach})
		doc.Pages = append(doc.Pages, draw.Page{W: 297, H: 210, Items: []draw.Item{d.At(20, 20)}})
	}
	var b bytes.Buffer
	if err := f.WritePDF(&b, doc); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "walls.pdf")
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("qpdf", "--check", path).CombinedOutput(); err != nil {
		t.Errorf("qpdf: %v: %s", err, out)
	}
	out, err := exec.Command("pdftotext", path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	pages := strings.Split(string(out), "\f")
	for i, v := range views {
		page := " " + strings.Join(strings.Fields(strings.ReplaceAll(pages[i], "\u202f", " ")), " ") + " "
		for _, field := range v.Fields {
			if field.Strips == nil {
				continue
			}
			for _, m := range field.Strips.Marks {
				if figure := strings.ReplaceAll(m.Foot.MM(), "\u202f", " "); !strings.Contains(page, " "+figure+" ") {
					t.Errorf("%s: mark %s is not on its page", v.Name(), figure)
				}
			}
		}
	}
}
