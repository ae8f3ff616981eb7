package server

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

// cost is how dear one try of a password is. The figures are the second choice
// of the OWASP password storage cheat sheet for argon2id (from memory).
type cost struct {
	memory  uint32 // KiB
	rounds  uint32
	threads uint8
}

var usualCost = cost{memory: 19 << 10, rounds: 2, threads: 1}

const (
	saltLength = 16
	keyLength  = 32
)

// NewPassword makes a password of four groups of four letters and digits, none
// of which is taken for another: a little over 79 random bits. random must be
// of cryptographic quality.
func NewPassword(random io.Reader) (string, error) {
	letters, err := traveler.NewCode(random)
	if err != nil {
		return "", fmt.Errorf("new password: %w", err)
	}
	return strings.Join([]string{letters[:4], letters[4:8], letters[8:12], letters[12:16]}, "-"), nil
}

// HashPassword turns a password into the text that is kept: argon2id with a
// random salt, in the usual form with its cost written into it.
func HashPassword(password string, random io.Reader) (string, error) {
	return usualCost.hash(password, random)
}

// hash is HashPassword at a cost.
func (c cost) hash(password string, random io.Reader) (string, error) {
	salt := make([]byte, saltLength)
	if _, err := io.ReadFull(random, salt); err != nil {
		return "", fmt.Errorf("salt of the password: %w", err)
	}
	key := argon2.IDKey([]byte(password), salt, c.rounds, c.memory, c.threads, keyLength)
	code := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version,
		c.memory, c.rounds, c.threads, code.EncodeToString(salt), code.EncodeToString(key)), nil
}

// CheckPassword reports whether the password is the one that was hashed. An
// error means that the hash cannot be read.
func CheckPassword(hash, password string) (bool, error) {
	c, salt, key, err := readHash(hash)
	if err != nil {
		return false, fmt.Errorf("kept password: %w", err)
	}
	tried := argon2.IDKey([]byte(password), salt, c.rounds, c.memory, c.threads, uint32(len(key)))
	return subtle.ConstantTimeCompare(tried, key) == 1, nil
}

// readHash takes a kept hash apart.
func readHash(hash string) (c cost, salt, key []byte, err error) {
	fields := strings.Split(hash, "$")
	if len(fields) != 6 || fields[1] != "argon2id" || fields[2] != fmt.Sprintf("v=%d", argon2.Version) {
		return c, nil, nil, errors.New("this is not an argon2id hash of the version in use")
	}
	if _, err := fmt.Sscanf(fields[3], "m=%d,t=%d,p=%d", &c.memory, &c.rounds, &c.threads); err != nil {
		return c, nil, nil, fmt.Errorf("its cost: %w", err)
	}
	if c.memory > 1<<20 || c.rounds < 1 || c.rounds > 100 || c.threads < 1 {
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
	return c, salt, key, nil
}
