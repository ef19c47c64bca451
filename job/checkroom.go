package job

import (
	"fmt"
	"slices"
	"strings"
)

// rooms checks the rooms as written down. Whether the measures of a wall are
// there and fit together is for package survey to say.
func (c *checker) rooms() {
	names := unique{}
	decorated := false
	for i, r := range c.file.Job.Rooms {
		path := fmt.Sprintf("rooms[%d]", i)
		c.once(names, path+".name", r.Name, "room")
		c.spelt(path+".name", r.Name)
		if r.Closed && len(r.Walls) > 0 && len(r.Walls) < 3 && c.file.whole(path+".walls") {
			c.add(path+".closed", "walls cannot close with fewer than three", "add the missing walls, or leave closed out")
		}
		walls := unique{}
		for k, w := range r.Walls {
			at := fmt.Sprintf("%s.walls[%d]", path, k)
			c.once(walls, at+".name", w.Name, "wall of this room")
			c.spelt(at+".name", w.Name)
			if r.Closed && w.Corner == "open" {
				c.add(at+".corner", "the room is closed, so this wall does not end open", "write internal or external, or leave closed out")
			}
			c.wall(at, r, w)
			decorated = decorated || w.Finish != "" || w.Dado != nil && w.Dado.Finish != ""
		}
	}
	if !decorated && len(c.file.Job.Rooms) > 0 && c.file.whole("rooms") {
		c.add("rooms", "no wall has a finish", "add finish: with the id of one to the walls that get it")
	}
}

// spelt keeps names free of the signs that part names from each other.
func (c *checker) spelt(path, name string) {
	switch {
	case strings.ContainsAny(name, "/#\n"):
		c.add(path, quoted(name)+" holds a / or #, or more than one line", "write the name without; these part rooms, walls and steps")
	case strings.HasSuffix(name, ", dado"):
		c.add(path, quoted(name)+` ends like the part of a wall below its dado`, "choose another name")
	}
}

func (c *checker) wall(path string, r Room, w Wall) {
	if len(w.Outline) > 0 {
		c.needless(path, "a wall with an outline", "height", w.Height)
		c.needless(path, "a wall with an outline", "height-right", w.HeightRight)
		if w.Ridge != nil {
			c.add(path+".ridge", "ridge means nothing for a wall with an outline", "leave it out")
		}
	}
	below := ""
	if w.Dado != nil {
		below = w.Dado.Finish
		c.finish(path+".dado.finish", below)
		c.ended(path+".dado", w.Dado.Done, w.Dado.Ended)
	}
	c.finish(path+".finish", w.Finish)
	for i, id := range w.Options {
		at := fmt.Sprintf("%s.options[%d]", path, i)
		c.finish(at, id)
		if id != "" && slices.Contains(w.Options[:i], id) {
			c.add(at, quoted(id)+" is given twice", "keep one of them")
		}
	}
	c.ended(path, w.Done, w.Ended)
	if (w.Finish != "" || below != "") && w.Substrate == "" && r.Substrate == "" && !c.file.missed(above(above(path))+".substrate") {
		c.lack(path+".substrate", "add what the wall is made of, here or in the room; the primer depends on it")
	}
	for i, o := range w.Openings {
		c.opening(fmt.Sprintf("%s.openings[%d]", path, i), o)
	}
}

// ended notes a time that belongs to no step.
func (c *checker) ended(path, done string, at Moment) {
	if done == "" && at != "" && !c.file.missed(path+".done") {
		c.add(path+".ended", "it is not said which step ended", "add done: with the id of the step, or leave ended out")
	}
}

// needless notes a measure that counts for nothing beside others.
func (c *checker) needless(path, where, key string, l Length) {
	if l.Given() {
		c.add(path+"."+key, key+" means nothing for "+where, "leave it out")
	}
}

func (c *checker) opening(path string, o Opening) {
	if c.file.missed(path + ".shape") {
		return
	}
	if o.Shape == "outline" {
		c.needless(path, "shape: outline", "left", o.Left)
		c.needless(path, "shape: outline", "sill", o.Sill)
		c.needless(path, "shape: outline", "width", o.Width)
		c.needless(path, "shape: outline", "height", o.Height)
	} else if len(o.Outline) > 0 {
		c.add(path+".outline", "corners count only with shape: outline", "write shape: outline, or leave them out")
	}
	if o.Shape != "arch" {
		c.needless(path, "an opening without an arch", "rise", o.Rise)
	}
	if len(o.Paint) > 0 && o.Reveal.Value == 0 {
		c.lack(path+".reveal", "add the depth of the reveal that is painted, or leave paint out")
	}
}
