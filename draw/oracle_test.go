//go:build oracle

package draw

import (
	"bytes"
	"fmt"
	"image"
	_ "image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// runProgram calls a Debian program and fails the test if it is missing or complains.
func runProgram(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, out)
	}
	return string(out)
}

func quoteFile(t *testing.T) (Doc, string) {
	t.Helper()
	f := NewFonts()
	d := quote(t, f, 40, A4)
	file := filepath.Join(t.TempDir(), "quote.pdf")
	if err := os.WriteFile(file, pdfOf(t, f, d), 0o644); err != nil {
		t.Fatal(err)
	}
	return d, file
}

func TestOracleQPDF(t *testing.T) {
	_, file := quoteFile(t)
	if out := runProgram(t, "qpdf", "--check", file); !strings.Contains(out, "No syntax or stream encoding errors") {
		t.Error(out)
	}
}

func TestOracleTextIsFound(t *testing.T) {
	_, file := quoteFile(t)
	text := strings.Join(strings.Fields(runProgram(t, "pdftotext", "-layout", file, "-")), " ")
	for _, want := range append(strings.Fields(hindi+" "+tamil),
		"क्षत्रिय,", "الفرشاة", "الأعلى", "تقريبا", "الحافة", "Drag the top glaze over the dry base in one stroke", "fi ffl ½ 3/8″ señal",
		"Wall 12, from the door to the window", "1 of 2") {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not found", want)
		}
	}
}

func TestOracleFontsAreEmbedded(t *testing.T) {
	_, file := quoteFile(t)
	lines := strings.Split(strings.TrimSpace(runProgram(t, "pdffonts", file)), "\n")[2:]
	for _, l := range lines {
		if !regexp.MustCompile(`^[A-Z]{6}\+NotoSans\S* +CID TrueType +Identity-H +yes yes yes `).MatchString(l) {
			t.Error(l)
		}
	}
	if len(lines) != 4 {
		t.Errorf("%d fonts, want regular, bold, Arabic and Tamil", len(lines))
	}
}

// A reader's picture of the PDF must look like our own PNG. Readers sharpen thin
// lines and put letters on whole pixels, so blocks of a millimetre are compared.
func TestOraclePicturesAgree(t *testing.T) {
	d, file := quoteFile(t)
	dir := filepath.Dir(file)
	runProgram(t, "pdftoppm", "-r", "203.2", "-png", file, filepath.Join(dir, "p"))
	f := NewFonts()
	for i, page := range d.Pages {
		ours, err := f.PNG(page, 8) // 203.2 dpi
		if err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(filepath.Join(dir, fmt.Sprintf("p-%d.png", i+1)))
		if err != nil {
			t.Fatal(err)
		}
		theirs, _, err := image.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		mean, far := difference(ours, theirs, 8)
		t.Logf("page %d: mean difference %.2f of 255, %.3f%% of blocks differ by more than 40", i+1, mean, 100*far)
		if mean > 2 || far > 0.002 {
			t.Errorf("page %d of the PDF does not look like the PNG", i+1)
		}
	}
}

// difference compares the mean grey of blocks of side pixels.
func difference(a, b image.Image, side int) (mean, far float64) {
	both := a.Bounds().Intersect(b.Bounds())
	grey := func(im image.Image, x, y int) float64 {
		sum := 0.0
		for dy := range side {
			for dx := range side {
				r, g, b, _ := im.At(x+dx, y+dy).RGBA()
				sum += float64(r+g+b) / 3 / 257
			}
		}
		return sum / float64(side*side)
	}
	n := 0.0
	for y := both.Min.Y; y+side <= both.Max.Y; y += side {
		for x := both.Min.X; x+side <= both.Max.X; x += side {
			d := math.Abs(grey(a, x, y) - grey(b, x, y))
			mean, n = mean+d, n+1
			if d > 40 {
				far++
			}
		}
	}
	return mean / n, far / n
}

const dxfAudit = `
import sys, ezdxf
from ezdxf.lldxf.encoding import decode_dxf_unicode
doc = ezdxf.readfile(sys.argv[1])
audit = doc.audit()
print("errors", len(audit.errors), "fixes", len(audit.fixes))
print("units", doc.header.get("$INSUNITS"))
for l in doc.layers: print("layer", l.dxf.name, l.dxf.color, l.dxf.linetype)
for e in doc.modelspace():
    print(e.dxftype(), e.dxf.layer, decode_dxf_unicode(e.dxf.text) if e.dxftype() == "TEXT" else "")
`

func TestOracleDXF(t *testing.T) {
	file := filepath.Join(t.TempDir(), "wall.dxf")
	if err := os.WriteFile(file, []byte(dxfOf(t, dxfLayers())), 0o644); err != nil {
		t.Fatal(err)
	}
	out := runProgram(t, "/usr/bin/python3", "-c", dxfAudit, file)
	for _, want := range []string{"errors 0 fixes 0", "units 4", "layer WALL_NORTH 7 CONTINUOUS", "layer SET-OUT 5 DASHED",
		"POLYLINE WALL_NORTH", "LINE WALL_NORTH", "CIRCLE SET-OUT", "ARC SET-OUT", "TEXT SET-OUT दीवार 2 m²"} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
}
