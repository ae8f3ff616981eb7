package password

import (
	"strings"
	"testing"
)

// A kept hash that can be read is the only way to write what it says, and no hash
// asks for more work than is allowed.
func FuzzRead(f *testing.F) {
	hash, err := Cost{Memory: 8, Rounds: 1, Threads: 1}.Hash("abcd-efgh", strings.NewReader("sixteen letters."))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(hash)
	f.Add(strings.Replace(hash, "p=1", "p=1,x", 1))
	f.Add(strings.Replace(hash, "m=8", "m= 8", 1))
	f.Add(hash + "\n")
	f.Fuzz(func(t *testing.T, hash string) {
		c, salt, key, err := Read(hash)
		if err != nil {
			return
		}
		if c.Memory > 1<<20 || c.Rounds < 1 || c.Rounds > 100 || c.Threads < 1 || len(key) < 16 || len(key) > 1024 {
			t.Errorf("Read(%q) = %+v with a key of %d bytes, out of range", hash, c, len(key))
		}
		if again := c.text(salt, key); again != hash {
			t.Errorf("Read(%q) says the same as of %q", hash, again)
		}
	})
}
