package frame

import (
	"crypto/sha256"
	"sync"

	"scumble/catalog"
	"scumble/web/board"
)

// boards keeps the boards laid out last, by the text of the job. Laying one out takes
// some ten milliseconds; a page shows the same one for its pictures, too.
type boards struct {
	catalog *catalog.Catalog
	mu      sync.Mutex
	kept    map[[32]byte]*laid
	order   [][32]byte // least recently used first
	size    int        // of all texts
}

type laid struct {
	once  sync.Once
	board *board.Board
	size  int // of its text
}

// mostText is the length in bytes of the texts whose boards are kept; one of a house of
// thirty walls has some 12 kB and takes some 2 MB laid out. The last two always stay.
const mostText = 400 << 10

func newBoards(c *catalog.Catalog) *boards {
	return &boards{catalog: c, kept: map[[32]byte]*laid{}}
}

func (b *boards) of(text []byte) *board.Board {
	key := sha256.Sum256(text)
	b.mu.Lock()
	entry := b.kept[key]
	if entry == nil {
		entry = &laid{size: len(text)}
		b.kept[key] = entry
		b.size += entry.size
	}
	for i, k := range b.order {
		if k == key {
			b.order = append(b.order[:i], b.order[i+1:]...)
			break
		}
	}
	b.order = append(b.order, key)
	for b.size > mostText && len(b.order) > 2 {
		b.size -= b.kept[b.order[0]].size
		delete(b.kept, b.order[0])
		b.order = b.order[1:]
	}
	b.mu.Unlock()
	entry.once.Do(func() { entry.board = board.Lay(text, b.catalog) })
	return entry.board
}
