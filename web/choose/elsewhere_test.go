package choose

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"

	"scumble/appearance/colour"
)

// quarters is a photo of four colours: red, green, blue, grey.
func quarters(w, h int) *image.RGBA {
	p := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.RGBA{200, 30, 30, 255}
			switch {
			case x >= w/2 && y < h/2:
				c = color.RGBA{30, 160, 30, 255}
			case x < w/2 && y >= h/2:
				c = color.RGBA{30, 30, 200, 255}
			case x >= w/2:
				c = color.RGBA{128, 128, 128, 255}
			}
			p.Set(x, y, c)
		}
	}
	return p
}

// withOrientation puts an EXIF note (TIFF, big-endian, tag 0112h) into a JPEG.
func withOrientation(src []byte, turn byte) []byte {
	exif := append([]byte("Exif\x00\x00MM\x00\x2a\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00"), turn, 0, 0, 0, 0, 0, 0)
	n := len(exif) + 2
	out := append([]byte{0xff, 0xd8, 0xff, 0xe1, byte(n >> 8), byte(n)}, exif...)
	return append(out, src[2:]...)
}

func TestPhotosStandUpright(t *testing.T) {
	var plain bytes.Buffer
	if err := jpeg.Encode(&plain, quarters(400, 200), &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	// The colour of the upper left corner for each way a camera is held (EXIF 2.32, tag 0112h).
	for turn, want := range map[byte]string{1: "red", 2: "green", 3: "grey", 4: "blue", 5: "red", 6: "blue", 7: "grey", 8: "green"} {
		got, err := upright(withOrientation(plain.Bytes(), turn))
		if err != nil {
			t.Fatal(err)
		}
		p, err := jpeg.Decode(bytes.NewReader(got))
		if err != nil {
			t.Fatal(err)
		}
		if turned := p.Bounds().Dx() < p.Bounds().Dy(); turned != (turn >= 5) {
			t.Errorf("turn %d is %v", turn, p.Bounds())
		}
		c := average(p, p.Bounds().Dx()/4, p.Bounds().Dy()/4)
		name := "grey"
		switch {
		case c.R > 2*c.G && c.R > 2*c.B:
			name = "red"
		case c.G > 2*c.R:
			name = "green"
		case c.B > 2*c.R:
			name = "blue"
		}
		if name != want {
			t.Errorf("turn %d shows %s, want %s", turn, name, want)
		}
		if bytes.Contains(got, []byte("Exif")) {
			t.Error("what the file told of the camera is still in it")
		}
	}
}

// TestTheMeanIsOfLight: half black and half white is the grey of half the light, sRGB 188
// (IEC 61966-2-1), not the grey of half the number.
func TestTheMeanIsOfLight(t *testing.T) {
	p := image.NewRGBA(image.Rect(0, 0, 160, 160))
	for y := range 160 {
		for x := range 160 {
			v := uint8(255 * ((x + y) % 2))
			p.Set(x, y, color.RGBA{v, v, v, 255})
		}
	}
	c := average(p, 80, 80)
	if r, _, _ := c.Bytes(); r < 183 || r > 192 {
		t.Errorf("the mean is %d", r)
	}
	if c := average(p, -500, 9999); c == (colour.RGB{}) {
		t.Error("a click beside the photo has no colour")
	}
}

func TestWhatIsNoPhoto(t *testing.T) {
	var huge bytes.Buffer
	png.Encode(&huge, image.NewRGBA(image.Rect(0, 0, 9, 9)))
	bomb := bytes.Replace(huge.Bytes(), []byte{0, 0, 0, 9, 0, 0, 0, 9}, []byte{0, 1, 0, 0, 0, 1, 0, 0}, 1)
	for name, src := range map[string][]byte{"nothing": nil, "text": []byte("hello"), "a page": []byte("<svg xmlns='http://www.w3.org/2000/svg'/>"), "too many pixels": bomb, "half a photo": huge.Bytes()[:40]} {
		if _, err := upright(src); err == nil {
			t.Errorf("%s was taken as a photo", name)
		}
	}
}

func FuzzUpright(f *testing.F) {
	var plain bytes.Buffer
	jpeg.Encode(&plain, quarters(20, 10), nil)
	f.Add(plain.Bytes())
	f.Add(withOrientation(plain.Bytes(), 6))
	f.Fuzz(func(t *testing.T, src []byte) {
		_, _ = upright(src) // it must not panic
	})
}
