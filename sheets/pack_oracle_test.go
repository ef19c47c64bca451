//go:build oracle

package sheets

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"scumble/sheets/internal/papertest"
)

// Every PDF of the pack is without fault for qpdf, has text to extract, and its
// fonts are embedded; A4 and Letter.
func TestOracleWholePack(t *testing.T) {
	p, err := papertest.DemoPlan()
	if err != nil {
		t.Fatal(err)
	}
	// The demonstration has 14 finishes on its walls.
	pictures := map[string]int{"colours.pdf": 28, "boards.pdf": 14, "quote.pdf": 14, "handover.pdf": 14, "method.pdf": 14}
	for _, paper := range []string{"A4", "Letter"} {
		files, err := Pack(t.Context(), p, Options{Paper: paper})
		if err != nil {
			t.Fatal(err)
		}
		count := 0
		for _, f := range files {
			if !strings.HasSuffix(f.Name, ".pdf") {
				continue
			}
			count++
			name := filepath.Join(t.TempDir(), f.Name)
			if err := os.WriteFile(name, f.Content, 0o644); err != nil {
				t.Fatal(err)
			}
			if out := papertest.RunTool(t, "qpdf", "--check", name); !strings.Contains(out, "No syntax or stream encoding errors") {
				t.Errorf("%s, %s: %s", f.Name, paper, out)
			}
			if text := papertest.RunTool(t, "pdftotext", name, "-"); !strings.Contains(text, p.Job.Name) {
				t.Errorf("%s, %s: its text cannot be extracted", f.Name, paper)
			}
			if images := strings.Count(papertest.RunTool(t, "pdfimages", "-list", name), " jpeg "); images < pictures[f.Name] {
				t.Errorf("%s, %s: %d pictures, want at least %d", f.Name, paper, images, pictures[f.Name])
			}
			fonts := strings.Split(strings.TrimSpace(papertest.RunTool(t, "pdffonts", name)), "\n")
			for _, line := range fonts[min(2, len(fonts)):] {
				if !strings.Contains(line, " yes yes yes ") {
					t.Errorf("%s, %s: not embedded, subset and mapped: %s", f.Name, paper, line)
				}
			}
			if len(fonts) < 3 {
				t.Errorf("%s, %s: no fonts", f.Name, paper)
			}
		}
		if count != 11 {
			t.Errorf("%d PDFs in the pack", count)
		}
	}
}
