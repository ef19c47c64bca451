package account

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"
	"golang.org/x/text/unicode/norm"
)

// What a hash costs: the second of the equal choices in OWASP's Password Storage Cheat
// Sheet (m=19456 KiB, t=2, p=1; read in November 2026). It takes 19 MiB for as long as it runs.
const (
	memory = 19456 // KiB
	passes = 2
	lanes  = 1
	salt   = 16 // bytes
	key    = 32 // bytes
)

// Lengths of a password in characters. The upper one keeps a sign-in from hashing whole files.
const (
	shortest = 12
	longest  = 128
)

// cost is what a hash was made with.
type cost struct {
	memory, passes uint32
	lanes          uint8
}

var today = cost{memory, passes, lanes}

// Hash makes the hash of a password that is kept, as a PHC string.
func Hash(password string) (string, error) { return hashed(password, today) }

func hashed(password string, c cost) (string, error) {
	s := make([]byte, salt)
	if _, err := rand.Read(s); err != nil {
		return "", fmt.Errorf("cannot make a salt: %w", err)
	}
	sum := argon2.IDKey(norm.NFC.Bytes([]byte(password)), s, c.passes, c.memory, c.lanes, key)
	enc := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, c.memory, c.passes, c.lanes, enc.EncodeToString(s), enc.EncodeToString(sum)), nil
}

// errHash is for a hash that was not made here; nobody can sign in with it.
var errHash = errors.New("the password is kept in a way that is not known")

// parsed reads a PHC string. What asks for far more work than any hash made here is
// refused, so that a damaged database does not take the memory.
func parsed(phc string) (c cost, salt, sum []byte, err error) {
	parts := strings.Split(phc, "$")
	if len(parts) != 6 || parts[0] != "" || parts[1] != "argon2id" || parts[2] != fmt.Sprintf("v=%d", argon2.Version) {
		return c, nil, nil, errHash
	}
	if n, err := fmt.Sscanf(parts[3], "m=%d,t=%d,p=%d", &c.memory, &c.passes, &c.lanes); n != 3 || err != nil {
		return c, nil, nil, errHash
	}
	enc := base64.RawStdEncoding.Strict()
	salt, err1 := enc.DecodeString(parts[4])
	sum, err2 := enc.DecodeString(parts[5])
	if err1 != nil || err2 != nil || len(salt) < 8 || len(salt) > 64 || len(sum) < 16 || len(sum) > 64 ||
		c.memory < 8 || c.memory > 8*memory || c.passes < 1 || c.passes > 16 || c.lanes < 1 || c.lanes > 16 {
		return c, nil, nil, errHash
	}
	return c, salt, sum, nil
}

// matches reports whether a password has a hash, and whether the hash was made with
// another cost than today's.
func matches(phc, password string) (ok, stale bool) {
	c, s, want, err := parsed(phc)
	if err != nil {
		return false, false
	}
	got := argon2.IDKey(norm.NFC.Bytes([]byte(password)), s, c.passes, c.memory, c.lanes, uint32(len(want)))
	return subtle.ConstantTimeCompare(got, want) == 1, c != today || len(want) != key
}

// CheckPassword says what is wrong with a new password for an account, and what to do.
func CheckPassword(name, password string) error {
	if !utf8.ValidString(password) {
		return errors.New("the password holds bytes that are no characters; type it again")
	}
	typed := norm.NFC.String(password)
	n := utf8.RuneCountInString(typed)
	switch {
	case n < shortest:
		return fmt.Errorf("the password has %d characters; give it at least %d, such as four words that do not belong together", n, shortest)
	case n > longest:
		return fmt.Errorf("the password has %d characters; give it at most %d", n, longest)
	}
	low := strings.ToLower(typed)
	for _, known := range append(strings.Fields(strings.ToLower(name)), guessable...) {
		if len(known) > 2 {
			low = strings.ReplaceAll(low, known, "")
		}
	}
	if left := worth(low); left < 6 {
		return errors.New("the password is easy to guess: little is left of it without the name, common words and runs of keys; choose words nobody would put together")
	}
	return nil
}

// guessable are words that somebody who tries passwords here would try first, from
// memory; they count for nothing in a password.
var guessable = []string{
	"scumble", "password", "passwort", "motdepasse", "contraseña", "letmein", "welcome", "admin", "secret", "changeme", "iloveyou",
	"painter", "decorator", "glaze", "qwerty", "qwertz", "azerty", "monkey", "dragon", "football", "sunshine", "princess",
}

// worth counts the characters of a password that do not follow from the one before:
// repeats, runs such as 1234 and neighbours on a keyboard count for nothing.
func worth(text string) int {
	const rows = "qwertzuiop asdfghjkl yxcvbnm qwertyuiop zxcvbnm azertyuiop"
	n, before := 0, rune(-1)
	seen := map[rune]int{}
	for _, r := range text {
		pair := string([]rune{before, r})
		back := string([]rune{r, before})
		follows := r == before || r == before+1 || r == before-1 || before >= 0 && (strings.Contains(rows, pair) || strings.Contains(rows, back))
		if seen[r]++; !follows && seen[r] <= 2 {
			n++
		}
		before = r
	}
	return n
}
