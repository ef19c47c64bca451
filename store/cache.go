package store

import (
	"context"
	"database/sql"
	"sync"
)

// mostCached is the size in bytes up to which pictures and papers are kept.
const mostCached = 256 << 20

// cache keeps what can be computed again, by a key of its content. It lies in a file of
// its own that may be lost; without it everything works, only slower.
type cache struct {
	mu   sync.Mutex
	db   *sql.DB // nil where it could not be opened
	size int64
	tick int64
}

func openCache(path string) *cache {
	c := &cache{}
	db, err := sql.Open("sqlite", "file:"+path+"?_pragma=busy_timeout(2000)&_pragma=journal_mode(WAL)&_pragma=synchronous(OFF)")
	if err != nil {
		return c
	}
	db.SetMaxOpenConns(1)
	_, err = db.Exec(`CREATE TABLE IF NOT EXISTS kept (key TEXT PRIMARY KEY, kind TEXT NOT NULL, content BLOB NOT NULL, used INTEGER NOT NULL);
		CREATE INDEX IF NOT EXISTS kept_used ON kept(used)`)
	if err == nil {
		err = db.QueryRow(`SELECT coalesce(sum(length(content)), 0), coalesce(max(used), 0) FROM kept`).Scan(&c.size, &c.tick)
	}
	if err != nil {
		db.Close()
		return c
	}
	c.db = db
	return c
}

func (c *cache) close() {
	if c.db != nil {
		c.db.Close()
	}
}

// Cached finds what was kept under a key.
func (s *Store) Cached(ctx context.Context, key string) (content []byte, kind string, ok bool) {
	c := s.cache
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.db == nil {
		return nil, "", false
	}
	c.tick++
	err := c.db.QueryRowContext(ctx, `UPDATE kept SET used = $2 WHERE key = $1 RETURNING content, kind`, key, c.tick).Scan(&content, &kind)
	return content, kind, err == nil
}

// Cache keeps something under a key, as long as there is room. That it could not be kept
// is nothing a caller could mend.
func (s *Store) Cache(ctx context.Context, key, kind string, content []byte) {
	c := s.cache
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.db == nil || len(content) > mostCached/8 {
		return
	}
	c.tick++
	if _, err := c.db.ExecContext(ctx, `INSERT INTO kept (key, kind, content, used) VALUES ($1, $2, $3, $4) ON CONFLICT DO NOTHING`, key, kind, content, c.tick); err != nil {
		return
	}
	c.size += int64(len(content))
	for c.size > mostCached {
		var gone int64
		if err := c.db.QueryRowContext(ctx, `DELETE FROM kept WHERE key = (SELECT key FROM kept ORDER BY used LIMIT 1) RETURNING length(content)`).Scan(&gone); err != nil {
			return
		}
		c.size -= gone
	}
}
