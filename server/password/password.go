// Package password makes passwords, and turns them into the text that is kept in
// their place.
package password

import (
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"strings"

	"golang.org/x/crypto/argon2"

	"brakeside/traveler"
)

// Cost is how dear one try of a password is. The figures are the second choice
// of the OWASP password storage cheat sheet for argon2id (from memory).
type Cost struct {
	Memory  uint32 // KiB
	Rounds  uint32
	Threads uint8
}

// Usual is what a password costs that is set now.
var Usual = Cost{Memory: 19 << 10, Rounds: 2, Threads: 1}

const (
	saltLength = 16
	keyLength  = 32
)

// New makes a password of four groups of four letters and digits, none
// of which is taken for another: a little over 79 random bits. random must be
// of cryptographic quality.
func New(random io.Reader) (string, error) {
	letters, err := traveler.NewCode(random)
	if err != nil {
		return "", fmt.Errorf("new password: %w", err)
	}
	return strings.Join([]string{letters[:4], letters[4:8], letters[8:12], letters[12:16]}, "-"), nil
}

// Hash turns a password into the text that is kept: argon2id with a
// random salt, in the usual form with its cost written into it.
func Hash(password string, random io.Reader) (string, error) {
	return Usual.Hash(password, random)
}

// Hash is HashPassword at a cost.
func (c Cost) Hash(password string, random io.Reader) (string, error) {
	salt := make([]byte, saltLength)
	if _, err := io.ReadFull(random, salt); err != nil {
		return "", fmt.Errorf("salt of the password: %w", err)
	}
	key := argon2.IDKey([]byte(password), salt, c.Rounds, c.Memory, c.Threads, keyLength)
	return c.text(salt, key), nil
}

// text is the usual form of what is kept.
func (c Cost) text(salt, key []byte) string {
	code := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version,
		c.Memory, c.Rounds, c.Threads, code.EncodeToString(salt), code.EncodeToString(key))
}

// Check reports whether the password is the one that was hashed. An
// error means that the hash cannot be read.
func Check(hash, password string) (bool, error) {
	c, salt, key, err := Read(hash)
	if err != nil {
		return false, fmt.Errorf("kept password: %w", err)
	}
	tried := argon2.IDKey([]byte(password), salt, c.Rounds, c.Memory, c.Threads, uint32(len(key)))
	return subtle.ConstantTimeCompare(tried, key) == 1, nil
}

// Read takes a kept hash apart.
func Read(hash string) (c Cost, salt, key []byte, err error) {
	fields := strings.Split(hash, "$")
	if len(fields) != 6 || fields[1] != "argon2id" || fields[2] != fmt.Sprintf("v=%d", argon2.Version) {
		return c, nil, nil, errors.New("this is not an argon2id hash of the version in use")
	}
	if _, err := fmt.Sscanf(fields[3], "m=%d,t=%d,p=%d", &c.Memory, &c.Rounds, &c.Threads); err != nil {
		return c, nil, nil, fmt.Errorf("its cost: %w", err)
	}
	if c.Memory > 1<<20 || c.Rounds < 1 || c.Rounds > 100 || c.Threads < 1 {
		return c, nil, nil, errors.New("its cost is out of range")
	}
	code := base64.RawStdEncoding
	if salt, err = code.DecodeString(fields[4]); err != nil {
		return c, nil, nil, fmt.Errorf("its salt: %w", err)
	}
	if key, err = code.DecodeString(fields[5]); err != nil {
		return c, nil, nil, fmt.Errorf("its key: %w", err)
	}
	if len(key) < 16 || len(key) > 1024 {
		return c, nil, nil, errors.New("its key has no usual length")
	}
	if c.text(salt, key) != hash {
		return c, nil, nil, errors.New("it is not written in the usual form")
	}
	return c, salt, key, nil
}
