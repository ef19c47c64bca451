package account

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"
)

func (h *house) path(t testing.TB, name, deed string) string {
	t.Helper()
	a, err := h.frame.Store.Account(context.Background(), name)
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf("/accounts/%d/%s", a.ID, deed)
}

func TestTheFirstAccountIsMadeInThePage(t *testing.T) {
	h := served(t, Options{})
	c := visitor(t)
	if r, body := h.post(t, c, "/accounts", "name", "Tam", "role", "applicator", "password", good, "repeated", good); r.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(body, "has to be an owner") {
		t.Errorf("%d %s", r.StatusCode, body)
	}
	if r, body := h.post(t, c, "/accounts", "name", "Ines", "role", "owner", "password", good, "repeated", good); r.StatusCode != http.StatusSeeOther {
		t.Fatalf("%d %s", r.StatusCode, body)
	}
	h.is(t, c, "")
	h.is(t, h.in(t, "Ines"), "owner ines")
}

func TestAnOwnerLooksAfterAccounts(t *testing.T) {
	h := served(t, Options{})
	h.account(t, "Ines", "owner")
	c := h.in(t, "ines")
	add := []string{"name", "Tam", "role", "applicator", "password", good, "repeated", good, "own"}
	if r, body := h.post(t, c, "/accounts", append(add, "not the password")...); r.StatusCode != http.StatusForbidden || !strings.Contains(body, "own password is not right") {
		t.Errorf("without the own password: %d", r.StatusCode)
	}
	if r, body := h.post(t, c, "/accounts", append(add, good)...); r.StatusCode != http.StatusSeeOther {
		t.Fatalf("%d %s", r.StatusCode, body)
	}
	if r, _ := h.post(t, c, "/accounts", append(add, good)...); r.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a second account of one name: %d", r.StatusCode)
	}
	tam := h.in(t, "tam")
	if r, _ := h.post(t, c, h.path(t, "tam", "role"), "role", "owner", "own", good); r.StatusCode != http.StatusSeeOther {
		t.Errorf("role: %d", r.StatusCode)
	}
	h.is(t, tam, "") // another role ends what began under the old one
	tam = h.in(t, "tam")
	h.is(t, tam, "owner tam")
	if r, _ := h.post(t, c, h.path(t, "tam", "everywhere")); r.StatusCode != http.StatusSeeOther {
		t.Errorf("everywhere: %d", r.StatusCode)
	}
	h.is(t, tam, "")
	tam = h.in(t, "tam")
	if r, _ := h.post(t, c, h.path(t, "tam", "remove"), "own", good); r.StatusCode != http.StatusSeeOther {
		t.Errorf("remove: %d", r.StatusCode)
	}
	h.is(t, tam, "")
}

func TestTheLastOwnerStays(t *testing.T) {
	h := served(t, Options{})
	h.account(t, "Ines", "owner")
	h.account(t, "Tam", "applicator")
	c := h.in(t, "ines")
	for _, deed := range []string{"remove", "role"} {
		if r, body := h.post(t, c, h.path(t, "ines", deed), "role", "applicator", "own", good); r.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(body, "last owner") {
			t.Errorf("%s: %d", deed, r.StatusCode)
		}
	}
}

func TestAnApplicatorChangesOnlyTheirOwnPassword(t *testing.T) {
	h := served(t, Options{})
	h.account(t, "Ines", "owner")
	h.account(t, "Tam", "applicator")
	c, elsewhere := h.in(t, "tam"), h.in(t, "tam")
	for _, try := range []string{h.path(t, "ines", "password"), h.path(t, "ines", "everywhere"), h.path(t, "tam", "role"), h.path(t, "tam", "remove"), "/accounts"} {
		if r, _ := h.post(t, c, try, "name", "x", "role", "owner", "own", good, "password", good+"2", "repeated", good+"2"); r.StatusCode != http.StatusForbidden {
			t.Errorf("%s: %d", try, r.StatusCode)
		}
	}
	if _, body := h.get(t, c, "/accounts"); strings.Contains(body, "ines") || !strings.Contains(body, "tam (you)") {
		t.Error("an applicator sees the accounts of others, or not their own")
	}
	own := h.path(t, "tam", "password")
	if r, _ := h.post(t, c, own, "own", "wrong wrong wrong", "password", good+"2", "repeated", good+"2"); r.StatusCode != http.StatusForbidden {
		t.Errorf("with a wrong password: %d", r.StatusCode)
	}
	if r, _ := h.post(t, c, own, "own", good, "password", good+"2", "repeated", good+"3"); r.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("with two passwords: %d", r.StatusCode)
	}
	if r, body := h.post(t, c, own, "own", good, "password", good+"2", "repeated", good+"2"); r.StatusCode != http.StatusSeeOther {
		t.Errorf("%d %s", r.StatusCode, body)
	}
	h.is(t, c, "applicator tam")
	h.is(t, elsewhere, "") // another password ends every other session
}

func TestHostileNamesAreEscapedOrRefused(t *testing.T) {
	h := served(t, Options{})
	h.account(t, `<script>"x"</script>`, "owner")
	c := visitor(t)
	if r, _ := h.post(t, c, "/signin", "name", `<script>"x"</script>`, "password", good); r.StatusCode != http.StatusSeeOther {
		t.Fatal(r.Status)
	}
	if _, body := h.get(t, c, "/accounts"); strings.Contains(body, `<script>"`) || !strings.Contains(body, "&lt;script&gt;") {
		t.Error("a name is not escaped")
	}
	for _, name := range []string{"", " ", "a\x00b", "a\nb", "\xff", strings.Repeat("x", 61)} {
		if CheckName(name) == nil {
			t.Errorf("%q is taken as a name", name)
		}
	}
}

func TestFieldsOfPasswordsAreMaskedAndCanBeFilledIn(t *testing.T) {
	h := served(t, Options{})
	h.account(t, "Ines", "owner")
	_, in := h.get(t, visitor(t), "/signin")
	_, list := h.get(t, h.in(t, "ines"), "/accounts")
	for _, page := range []string{in, list} {
		for _, input := range strings.Split(page, "<input")[1:] {
			tag, _, _ := strings.Cut(input, ">")
			for _, name := range []string{"password", "repeated", "own"} {
				if strings.Contains(tag, `name="`+name+`"`) && (!strings.Contains(tag, `type="password"`) || !strings.Contains(tag, "autocomplete=") || strings.Contains(tag, `"off"`) || strings.Contains(tag, "value=")) {
					t.Error(tag)
				}
			}
		}
	}
	if !strings.Contains(in, `type="password"`) || !strings.Contains(list, `autocomplete="new-password"`) {
		t.Error("no field for a password")
	}
}
