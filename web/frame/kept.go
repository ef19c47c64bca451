package frame

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"mime"
	"path"
	"strings"
	"unicode"
)

// Kept is what was made before under a key, or what is made now and kept for the next
// time. The key holds all that it follows from.
func (f *Frame) Kept(ctx context.Context, key, kind string, make func() ([]byte, error)) ([]byte, error) {
	if content, _, ok := f.Store.Cached(ctx, key); ok {
		return content, nil
	}
	content, err := make()
	if err == nil {
		f.Store.Cache(ctx, key, kind, content)
	}
	return content, err
}

// TextKey tells apart what this program makes of two texts of jobs.
func (f *Frame) TextKey(text []byte) string {
	sum := sha256.Sum256(append([]byte(f.Build+"\x00"), text...))
	return hex.EncodeToString(sum[:16])
}

// Attachment is the header that hands a file of a job over to be kept, under a name any
// system takes.
func Attachment(job, name string) string {
	plain := strings.Trim(strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return '-'
	}, job), "-")
	file := path.Base(name)
	if plain != "" {
		file = plain + "-" + file
	}
	return mime.FormatMediaType("attachment", map[string]string{"filename": file})
}
