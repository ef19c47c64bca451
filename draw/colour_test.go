package draw

import (
	"image/color"
	"testing"
)

func TestParseColour(t *testing.T) {
	for text, want := range map[string]Colour{"#b7410e": 0xb7410eff, "#fff": White, "#00000080": 0x00000080, "#B7410E": 0xb7410eff} {
		got, err := ParseColour(text)
		if err != nil || got != want {
			t.Errorf("ParseColour(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "#", "b7410e", "#12345", "#gggggg", "red", "#+12345", "#é00"} {
		if got, err := ParseColour(text); err == nil {
			t.Errorf("ParseColour(%q) = %v, want an error", text, got)
		}
	}
}

func TestColourIsAColour(t *testing.T) {
	c := RGB(200, 100, 50).WithAlpha(0.5)
	want := color.NRGBA{200, 100, 50, 128}
	if got := color.NRGBAModel.Convert(c); got != want {
		t.Errorf("converted to %v, want %v", got, want)
	}
	if c.String() != "#c8643280" || White.String() != "#ffffff" {
		t.Errorf("%v, %v", c, White)
	}
}
