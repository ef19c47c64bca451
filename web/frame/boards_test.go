package frame

import (
	"bytes"
	"fmt"
	"testing"

	"scumble/catalog"
)

// People who each edit a job of their own never wait for the same board twice, as long as the last
// text of each is among what is kept.
func TestBoardsOfManyPeopleAreLaidOnce(t *testing.T) {
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	const people, edits = 7, 4
	b := newBoards(c)
	text := func(who, edit int) []byte {
		return append(fmt.Appendf(nil, "job: %d %d\n# ", who, edit), bytes.Repeat([]byte("x"), mostText/(people+1))...)
	}
	for who := range people {
		b.of(text(who, 0))
	}
	for edit := 1; edit < edits; edit++ {
		for who := range people {
			b.of(text(who, edit-1))
			b.retire(text(who, edit-1))
			b.of(text(who, edit))
		}
	}
	if b.made != people*edits {
		t.Errorf("%d boards laid out, want %d", b.made, people*edits)
	}
	if b.size > mostText {
		t.Errorf("%d bytes of text are kept", b.size)
	}
	b.retire([]byte("nobody has seen this"))
}
