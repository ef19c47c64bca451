package account

import (
	"context"
	"strings"
	"testing"
)

func TestHashes(t *testing.T) {
	phc, err := Hash(good)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(phc, "$argon2id$v=19$m=19456,t=2,p=1$") {
		t.Error(phc)
	}
	if ok, stale := matches(phc, good); !ok || stale {
		t.Error("the password does not match its own hash", ok, stale)
	}
	if ok, _ := matches(phc, good+" "); ok {
		t.Error("another password matches")
	}
	if again, _ := Hash(good); again == phc {
		t.Error("two hashes of a password are the same: no salt")
	}
	// é as one character and as two are the same word to whoever types it
	one, _ := Hash("caf\u00e9 kettle harbour")
	if ok, _ := matches(one, "cafe\u0301 kettle harbour"); !ok {
		t.Error("a password depends on how a keyboard makes its accents")
	}
}

func TestDamagedHashesMatchNothing(t *testing.T) {
	for _, bad := range []string{"", "x", "$argon2i$v=19$m=65536,t=2,p=4$c29tZXNhbHQ$RdescudvJCsgt3ub+b4dWRWJTmaaJObG", "$argon2id$v=19$m=4294967295,t=2,p=1$c29tZXNhbHQ$c29tZXNhbHRzb21lc2FsdA",
		"$argon2id$v=19$m=19456,t=4000000000,p=1$c29tZXNhbHQ$c29tZXNhbHRzb21lc2FsdA", "$argon2id$v=19$m=19456,t=0,p=0$c29tZXNhbHQ$c29tZXNhbHRzb21lc2FsdA", "$argon2id$v=19$m=19456,t=2,p=1$$", "$argon2id$v=16$m=19456,t=2,p=1$c29tZXNhbHQ$c29tZXNhbHRzb21lc2FsdA"} {
		if ok, _ := matches(bad, "password"); ok {
			t.Errorf("%q matches", bad)
		}
		if _, _, _, err := parsed(bad); err == nil {
			t.Errorf("%q is taken", bad)
		}
	}
}

func TestAnOldHashIsMadeAnewAtSignIn(t *testing.T) {
	h := served(t, Options{})
	a := h.account(t, "Ines", "owner")
	weak, err := hashed(good, cost{8, 1, 1})
	if err != nil {
		t.Fatal(err)
	}
	if err := h.frame.Store.Rehash(context.Background(), a.ID, weak); err != nil {
		t.Fatal(err)
	}
	h.is(t, h.in(t, "ines"), "owner ines")
	if a, err = h.frame.Store.AccountByID(context.Background(), a.ID); err != nil || !strings.Contains(a.Hash, "m=19456") {
		t.Error(a.Hash, err)
	}
}

func TestPasswords(t *testing.T) {
	for _, fine := range []string{good, strings.Repeat("kettle harbour ", 8), "Ünïcödé wörds zü hauf", "correct-horse-staple", "            x7!q-Kb2w", strings.Repeat("q7", 0) + "mZ4 vT9 pL2 xW6"} {
		if err := CheckPassword("ines", fine); err != nil {
			t.Errorf("%q: %v", fine, err)
		}
	}
	for _, bad := range []string{"", "short", "elevenchars", strings.Repeat("x7 k", 33), "aaaaaaaaaaaaaaaa", "123456789012", "qwertyuiopas", "passwordpassword", "password1234", "ines ines ines ines", "scumblescumble1", "abcabcabcabcabc", "\xff\xfe kettle harbour"} {
		if err := CheckPassword("ines", bad); err == nil {
			t.Errorf("%q is taken", bad)
		} else if !strings.Contains(err.Error(), "; ") {
			t.Errorf("%q: %v says not what to do", bad, err)
		}
	}
}

// FuzzParsed: no text in the database makes a sign-in break off or take the memory.
func FuzzParsed(f *testing.F) {
	f.Add("$argon2id$v=19$m=19456,t=2,p=1$c29tZXNhbHQ$c29tZXNhbHRzb21lc2FsdA")
	f.Fuzz(func(t *testing.T, text string) {
		if c, salt, sum, err := parsed(text); err == nil && (c.memory > 8*memory || c.passes > 16 || len(salt) < 8 || len(sum) < 16) {
			t.Error(c)
		}
	})
}
