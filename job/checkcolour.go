package job

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Part is a share of one tint in a recipe.
type Part struct {
	Of    string
	Parts float64
}

// hexForm is how a colour is written by its look on screen.
var hexForm = regexp.MustCompile(`^#[0-9A-Fa-f]{6}$`)

// Parts reads a recipe such as "3 Leaf + 1 Chalk". The error says what is wrong
// and what to write.
func Parts(recipe string) ([]Part, error) {
	var parts []Part
	for text := range strings.SplitSeq(recipe, "+") {
		count, name, found := strings.Cut(strings.TrimSpace(text), " ")
		n, err := strconv.ParseFloat(strings.Replace(count, ",", ".", 1), 64)
		if !found || err != nil || !(n > 0 && n < 1e6) {
			return nil, fmt.Errorf("%q does not name parts of a tint; write such as 3 Leaf + 1 Chalk", strings.TrimSpace(text))
		}
		parts = append(parts, Part{Of: strings.TrimSpace(name), Parts: n})
	}
	return parts, nil
}

// Names reads a list of names with commas between.
func Names(text string) []string {
	var names []string
	for name := range strings.SplitSeq(text, ",") {
		if name = strings.TrimSpace(name); name != "" {
			names = append(names, name)
		}
	}
	return names
}

// MeasuredColour finds a measured colour by its name.
func (j *Job) MeasuredColour(name string) *Measured {
	for i := range j.Measured {
		if strings.EqualFold(j.Measured[i].Name, name) {
			return &j.Measured[i]
		}
	}
	return nil
}

// Tint finds a tint by its name.
func (j *Job) Tint(name string) *Colour {
	for i := range j.Tints {
		if strings.EqualFold(j.Tints[i].Name, name) {
			return &j.Tints[i]
		}
	}
	return nil
}

// colours checks what pictures take their colours from.
func (c *checker) colours() {
	j := c.file.Job
	names := unique{}
	for i, m := range j.Measured {
		path := fmt.Sprintf("measured[%d]", i)
		c.once(names, path+".name", m.Name, "measured colour")
		c.measured(path, m)
	}
	tints := unique{}
	for i, t := range j.Tints {
		path := fmt.Sprintf("tints[%d]", i)
		if t.Name == "" {
			c.lack(path+".name", "add the name recipes call it by")
		}
		c.once(tints, path+".name", t.Name, "tint")
		if t.Hex == "" && t.Measured == "" {
			c.lack(path+".hex", "add the look of the laid coat over white, or the name of a measured colour")
		}
		if t.Recipe != "" {
			c.add(path+".recipe", "a tint has no recipe of its own", "write the recipe with the colour of a finish")
		}
		c.colour(path, t)
	}
	for i, r := range j.Rooms {
		c.colour(fmt.Sprintf("rooms[%d].old-colour", i), r.OldColour)
	}
	for i, f := range j.Finishes {
		path := fmt.Sprintf("finishes[%d]", i)
		for key, colour := range map[string]Colour{"ground": f.Ground, "ground-b": f.GroundB, "glaze": f.Glaze, "glaze-b": f.GlazeB} {
			c.colour(path+"."+key, colour)
		}
		if f.Light.Least.Given() && f.Light.Most.Given() && f.Light.Least.Value > f.Light.Most.Value {
			c.add(path+".light.most", f.Light.Most.Text+" is less than the least, "+f.Light.Least.Text, "write the smaller of the two as least")
		}
		boards := unique{}
		for k, b := range f.Boards {
			at := fmt.Sprintf("%s.boards[%d]", path, k)
			c.once(boards, at+".name", b.Name, "board")
			c.board(at, b)
		}
	}
}

// measured checks one reading: either a spectrum or three figures of CIELAB.
func (c *checker) measured(path string, m Measured) {
	for i, v := range m.Values {
		if v < 0 || v > 1.5 {
			c.add(fmt.Sprintf("%s.values[%d]", path, i), fmt.Sprintf("%g is no reflectance factor", v), "write a figure from 0 to 1 (a perfect white); divide percent by 100")
			break // the others are of the same kind
		}
	}
	for i, v := range m.Lab {
		if v < -200 || v > 200 {
			c.add(fmt.Sprintf("%s.lab[%d]", path, i), fmt.Sprintf("%g lies outside CIELAB", v), "write L* from 0 to 100, a* and b* from about -128 to 128")
		}
	}
	switch {
	case len(m.Values) == 0 && len(m.Lab) == 0:
		c.lack(path+".values", "add the reflectance at every wavelength, or lab with L*, a* and b*")
	case len(m.Values) > 0 && len(m.Lab) > 0:
		c.add(path+".lab", "a spectrum and a lab reading are given", "keep the spectrum; it says more")
	case len(m.Lab) > 0 && len(m.Lab) != 3:
		c.add(path+".lab", fmt.Sprintf("%d figures are given", len(m.Lab)), "write L*, a* and b*, such as [62.1, -3.4, 18.0]")
	case len(m.Values) > 0 && (m.From == 0 || m.Step == 0):
		c.lack(path+".from", "add from and step: the wavelength of the first value and the distance to the next, nm")
	case len(m.Values) > 0 && (m.From > 420 || m.From+m.Step*(len(m.Values)-1) < 680):
		c.add(path+".values", fmt.Sprintf("they reach from %d to %d nm", m.From, m.From+m.Step*(len(m.Values)-1)), "give values from 420 nm or less to 680 nm or more; colour is not known without them")
	}
}

// colour checks what a colour says beyond its look on screen.
func (c *checker) colour(path string, colour Colour) {
	c.isMeasured(path+".measured", colour.Measured)
	c.isColour(path+".over-black", colour.OverBlack)
	if names := Names(colour.Angles); colour.Angles != "" && len(names) != 3 {
		c.add(path+".angles", fmt.Sprintf("%d names are given", len(names)), "name the measured colours at 15, 45 and 110 degrees, with commas between")
	} else {
		for _, name := range names {
			c.isMeasured(path+".angles", name)
		}
	}
	if colour.Recipe == "" {
		return
	}
	parts, err := Parts(colour.Recipe)
	if err != nil {
		what, do, _ := strings.Cut(err.Error(), "; ")
		c.add(path+".recipe", what, do)
		return
	}
	for _, p := range parts {
		if c.file.Job.Tint(p.Of) == nil {
			c.add(path+".recipe", quoted(p.Of)+" is no tint of this job", "name it under tints, or use one that stands there")
		}
	}
}

func (c *checker) board(path string, b Board) {
	if b.Light == "" && b.Whole == "" && b.Dark == "" && len(b.Seen) == 0 {
		c.add(path, "nothing was seen or read on this board", "add seen, or the colours light, whole and dark")
	}
	for key, text := range map[string]string{"light": b.Light, "whole": b.Whole, "dark": b.Dark} {
		c.isColour(path+"."+key, text)
	}
	for _, pair := range [][2]string{{"lighter", "darker"}, {"more-contrast", "less-contrast"}} {
		if slices.Contains(b.Seen, pair[0]) && slices.Contains(b.Seen, pair[1]) {
			c.add(path+".seen", pair[0]+" and "+pair[1]+" exclude each other", "keep one of them")
		}
	}
}

// isColour notes a text that is neither a look on screen nor a measured colour.
func (c *checker) isColour(path, text string) {
	if text != "" && !hexForm.MatchString(text) {
		if strings.HasPrefix(text, "#") {
			c.add(path, quoted(text)+" is no colour", `write six hexadecimal figures, such as "#d8c7a4"`)
			return
		}
		c.isMeasured(path, text)
	}
}

func (c *checker) isMeasured(path, name string) {
	if name != "" && c.file.Job.MeasuredColour(name) == nil {
		c.add(path, quoted(name)+" is no measured colour of this job", `name it under measured, or write its look on screen such as "#d8c7a4"`)
	}
}
