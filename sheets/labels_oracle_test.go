//go:build oracle

package sheets

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"scumble/draw"
)

// runTool calls a Debian program; the test fails when it is missing.
func runTool(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).Output()
	if err != nil {
		t.Fatalf("%s %s: %v", name, strings.Join(args, " "), err)
	}
	return string(out)
}

func pdfFile(t *testing.T, d *desk, make func(*desk) (draw.Doc, error)) string {
	t.Helper()
	doc, err := make(d)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := d.fonts.WritePDF(&b, doc); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "paper.pdf")
	if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// zbarimg (Debian package zbar-tools) reads every code of the printed labels.
func TestOracleEveryCodeIsRead(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := demoDesk(t, paper)
		file := pdfFile(t, d, (*desk).mixes)
		runTool(t, "pdftoppm", "-r", "150", "-gray", "-png", file, filepath.Join(filepath.Dir(file), "page"))
		pages, err := filepath.Glob(filepath.Join(filepath.Dir(file), "page*.png"))
		if err != nil || len(pages) == 0 {
			t.Fatal("no pages", err)
		}
		labels, err := d.labels()
		if err != nil {
			t.Fatal(err)
		}
		first := len(pages) - (len(labels)+7)/8 // labels come last
		out := runTool(t, "zbarimg", append([]string{"--raw", "-q", "-Sdisable", "-Sqrcode.enable"}, pages[first:]...)...)
		got := strings.Split(strings.TrimSpace(out), "\n")
		var want []string
		for _, l := range labels {
			want = append(want, l.text)
		}
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("%s: %d codes read, want %d", paper, len(got), len(want))
			for _, w := range want {
				if !slices.Contains(got, w) {
					t.Errorf("not read: %q", w)
				}
			}
		}
	}
}

// qpdf finds no fault and pdftotext finds the words of each paper.
func TestOraclePapersAreSoundAndSearchable(t *testing.T) {
	d := demoDesk(t, "A4")
	for want, make := range map[string]func(*desk) (draw.Doc, error){
		d.money(d.plan.Quote.Total):      (*desk).quote,
		"What to buy":                    (*desk).buying,
		"80 of thinner to 100":           (*desk).mixes,
		"To whoever decorates here next": (*desk).handover,
	} {
		file := pdfFile(t, d, make)
		if out := runTool(t, "qpdf", "--check", file); !strings.Contains(out, "No syntax or stream encoding errors") {
			t.Error(out)
		}
		if text := strings.Join(strings.Fields(runTool(t, "pdftotext", "-layout", file, "-")), " "); !strings.Contains(text, plainSpaces(want)) {
			t.Errorf("%q is not found", want)
		}
	}
}
