package password

import (
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
)

func TestNewPassword(t *testing.T) {
	random := rand.NewChaCha8([32]byte{7})
	form := regexp.MustCompile(`^[2-9a-hjkmnp-z]{4}(-[2-9a-hjkmnp-z]{4}){3}$`)
	seen := make(map[string]bool)
	for range 200 {
		made, err := New(random)
		if err != nil {
			t.Fatal(err)
		}
		if !form.MatchString(made) || strings.ContainsAny(made, "0o1il") || seen[made] {
			t.Fatalf("NewPassword() = %q, want four new groups of four without look-alikes", made)
		}
		seen[made] = true
	}
	if _, err := New(strings.NewReader("short")); err == nil {
		t.Error("NewPassword from a source that ends = nil, want an error")
	}
}

func TestHashAndCheckPassword(t *testing.T) {
	random := rand.NewChaCha8([32]byte{8})
	hash, err := Hash("rail foot", random)
	if err != nil {
		t.Fatal(err)
	}
	again, err := Hash("rail foot", random)
	if err != nil {
		t.Fatal(err)
	}
	if hash == again {
		t.Error("two hashes of one password are equal: the salt is not random")
	}
	if strings.Contains(hash, "rail") || !strings.HasPrefix(hash, "$argon2id$v=19$m=19456,t=2,p=1$") {
		t.Errorf("HashPassword = %q, want argon2id with its cost and no password in it", hash)
	}
	for password, want := range map[string]bool{"rail foot": true, "rail foo": false, "Rail foot": false, "": false} {
		if got, err := Check(hash, password); err != nil || got != want {
			t.Errorf("CheckPassword(%q) = %v, %v, want %v", password, got, err, want)
		}
	}
}

// The hash of the reference implementation's own test (argon2 command line
// tool, src/test.c of phc-winner-argon2, version 19): password "password", salt
// "somesalt", m = 256, t = 2, p = 1; from memory.
func TestCheckPasswordReadsTheUsualForm(t *testing.T) {
	const hash = "$argon2id$v=19$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4"
	if right, err := Check(hash, "password"); err != nil || !right {
		t.Errorf("CheckPassword(reference hash) = %v, %v, want true", right, err)
	}
	if right, _ := Check(hash, "differentpassword"); right {
		t.Error("CheckPassword(reference hash, another password) = true")
	}
}

func TestCheckPasswordRefusesBrokenHashes(t *testing.T) {
	for _, hash := range []string{
		"", "plain", "$argon2i$v=19$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4",
		"$argon2id$v=16$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR", "$argon2id$v=19$m=x,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR",
		"$argon2id$v=19$m=256,t=0,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4",
		"$argon2id$v=19$m=4194304,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4",
		"$argon2id$v=19$m=256,t=2,p=1$!!$nf65EOgLrQMR", "$argon2id$v=19$m=256,t=2,p=1$c29tZXNhbHQ$", "$argon2id$v=19$m=256,t=2,p=1$c29tZXNhbHQ$??",
	} {
		if right, err := Check(hash, "password"); err == nil || right {
			t.Errorf("CheckPassword(%q) = %v, %v, want an error", hash, right, err)
		}
	}
}
