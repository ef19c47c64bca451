package frame

import (
	"crypto/sha256"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

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
	size    int        // of all of them
	made    int
	turns   chan struct{} // held while one is laid out: as many at a time as there are processors
}

type laid struct {
	number int // tells it from one of the same text that was dropped before
	once   sync.Once
	board  atomic.Pointer[board.Board]
	size   int // of its text, once for each way of the job that is planned
}

// mostText is the length in bytes of the texts whose boards are kept; one of a house of
// thirty walls has some 12 kB and takes some 2 MB laid out, and as much again for each other
// way of the job. So fifty people can each edit a house of their own. The last two always stay.
const mostText = 800 << 10

func newBoards(c *catalog.Catalog) *boards {
	return &boards{catalog: c, kept: map[[32]byte]*laid{}, turns: make(chan struct{}, runtime.GOMAXPROCS(0))}
}

// of is the board of a text with the best programme found for it so far.
func (b *boards) of(text []byte) *board.Board { return b.entry(text).board.Load() }

// entry finds the board of a text, or lays it out.
func (b *boards) entry(text []byte) *laid {
	key := sha256.Sum256(text)
	b.mu.Lock()
	entry := b.kept[key]
	if entry == nil {
		b.made++
		entry = &laid{size: len(text), number: b.made}
		b.kept[key] = entry
		b.size += entry.size
	}
	b.order = append(slices.DeleteFunc(b.order, func(k [32]byte) bool { return k == key }), key)
	b.drop()
	b.mu.Unlock()
	entry.once.Do(func() {
		b.turns <- struct{}{} // many at once would all come late
		defer func() { <-b.turns }()
		entry.board.Store(board.Lay(text, b.catalog))
	})
	return entry
}

// retire lets the board of a text go before all others: a newer one of the job takes its place.
func (b *boards) retire(text []byte) {
	key := sha256.Sum256(text)
	b.mu.Lock()
	defer b.mu.Unlock()
	if at := slices.Index(b.order, key); at > 0 {
		b.order = slices.Insert(slices.Delete(b.order, at, at+1), 0, key)
	}
}

// better puts a board with a better programme in the place of the one that is kept.
func (b *boards) better(entry *laid, found *board.Board) {
	entry.board.Store(found)
	if !found.Looked || len(found.Ways()) == 0 {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.kept[sha256.Sum256(found.Text)] == entry {
		more := len(found.Text) * len(found.Ways())
		entry.size += more
		b.size += more
		b.drop()
	}
}

// drop lets the boards go that are beyond what is kept, those not used longest first.
func (b *boards) drop() {
	for b.size > mostText && len(b.order) > 2 {
		b.size -= b.kept[b.order[0]].size
		delete(b.kept, b.order[0])
		b.order = b.order[1:]
	}
}
