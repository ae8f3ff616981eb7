package web

import (
	"context"
	"crypto/aes"
	"crypto/cipher"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"net/http"
	"regexp"
	"strings"

	"github.com/gorilla/mux"

	"brakeside/calc/fault"
	"brakeside/server/store"
)

// The code of a sheet is the key to its log, and the office's addresses of jobs have
// it in them. Pages for the viewer, who may look and not write, have the code veiled
// there: the same letters each time, which only this service turns back.
const veilSign = "~"

// veil veils codes with a key of the shop.
type veil struct {
	seal   cipher.AEAD
	nonces []byte
}

// veil gives the veil of the shop. Its key is the owner's kept password, so that
// nothing more has to be kept secret.
func (s *Site) veil(ctx context.Context) (veil, error) {
	owner, err := s.Store.Owner(ctx)
	if err != nil {
		return veil{}, err
	}
	key := sha256.Sum256([]byte("veil of " + owner.PasswordHash))
	block, err := aes.NewCipher(key[:])
	if err != nil {
		return veil{}, err
	}
	seal, err := cipher.NewGCM(block)
	return veil{seal, key[:]}, err
}

// over veils a code. The nonce comes from the code, so that an address stays what it
// is and no nonce is used for two codes.
func (v veil) over(code string) string {
	mac := hmac.New(sha256.New, v.nonces)
	mac.Write([]byte(code))
	nonce := mac.Sum(nil)[:v.seal.NonceSize()]
	return veilSign + base64.RawURLEncoding.EncodeToString(v.seal.Seal(nonce, nonce, []byte(code), nil))
}

// off gives the code under a veil; what this shop has not veiled is of no sheet.
func (v veil) off(veiled string) (string, error) {
	unknown := fault.New(fault.Missing, "", "There is no such job here. Find it in the list of jobs.")
	sealed, err := base64.RawURLEncoding.DecodeString(strings.TrimPrefix(veiled, veilSign))
	if err != nil || len(sealed) < v.seal.NonceSize() {
		return "", unknown
	}
	code, err := v.seal.Open(nil, sealed[:v.seal.NonceSize()], sealed[v.seal.NonceSize():], nil)
	if err != nil {
		return "", unknown
	}
	return string(code), nil
}

// jobAddress is where a code stands in a page.
var jobAddress = regexp.MustCompile(`(/jobs/)([0-9A-Za-z]{16,})`)

// veiled veils the codes in a page that the viewer is to see.
func (s *Site) veiled(w http.ResponseWriter, page []byte) ([]byte, error) {
	if roleBehind(w) != store.RoleViewer {
		return page, nil
	}
	v, err := s.veil(context.Background())
	if err != nil {
		return nil, err
	}
	return jobAddress.ReplaceAllFunc(page, func(found []byte) []byte {
		at := jobAddress.FindSubmatch(found)
		return append(at[1], v.over(string(at[2]))...)
	}), nil
}

// unveiled gives a request of the office in which a veiled code is a code again.
func (s *Site) unveiled(r *http.Request) (*http.Request, error) {
	vars := mux.Vars(r)
	if !strings.HasPrefix(vars["code"], veilSign) {
		return r, nil
	}
	v, err := s.veil(r.Context())
	if err != nil {
		return nil, err
	}
	code, err := v.off(vars["code"])
	if err != nil {
		return nil, err
	}
	vars["code"] = code
	return mux.SetURLVars(r, vars), nil
}

// roleBehind gives the role of the one an answer goes to.
func roleBehind(w http.ResponseWriter) string {
	for {
		switch at := w.(type) {
		case *watched:
			return at.ticket.role
		case interface{ Unwrap() http.ResponseWriter }:
			w = at.Unwrap()
		default:
			return ""
		}
	}
}
