package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"time"

	"brakeside/calc/fault"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

// What photos may take up. A photo that a phone has made smaller first has some
// 300 kB; one straight from its camera 3 to 6 MB.
const (
	MostPhoto  = 8 << 20   // bytes of one photo
	MostPhotos = 100 << 20 // bytes of all photos of one sheet
)

// Photo is a picture taken at the brake, of one bend of one piece.
type Photo struct {
	Seq      int64  // set by AddPhoto
	ID       string // made where it was taken, unique
	Code     string // of the sheet
	Piece    int
	Step     int
	Reading  string // id of the reading it shows; empty if of none
	Kind     string // media type: image/jpeg or image/png
	By       string
	Size     int       // bytes; set by AddPhoto
	Received time.Time // set by AddPhoto
}

// AddPhoto keeps a photo for ever. One whose id is stored already with the same
// bytes is not stored again, and that is no error.
//
// It refuses with fault.Missing an unknown sheet; with fault.Invalid a step, a
// piece or a reading that the sheet does not have; with fault.TooLarge one photo
// of more than MostPhoto, and any more once the sheet has MostPhotos; with
// fault.Conflict another photo under a stored id. A photo is a fact as a reading
// is: it is kept whatever the standing of the traveler.
func (s *Store) AddPhoto(ctx context.Context, p Photo, image []byte) error {
	if len(image) == 0 || len(image) > MostPhoto {
		return fault.New(fault.TooLarge, "photo", "A photo has at most %d MB; this one has %.1f.", MostPhoto>>20, float64(len(image))/(1<<20))
	}
	p.Code, p.Size, p.Received = traveler.TidyCode(p.Code), len(image), s.clock()
	digest := sha256.Sum256(image)
	return s.change(ctx, func(tx *sql.Tx) error {
		there, err := sameThere(ctx, tx, p.ID, `SELECT digest FROM photo WHERE id = ?`, hex.EncodeToString(digest[:]))
		if there || err != nil {
			return err
		}
		if err := s.refusePhoto(ctx, tx, p); err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `
			INSERT INTO photo (id, code, piece, step, reading, by_whom, received, kind, digest, size, image)
			VALUES (?, ?, ?, ?, nullif(?, ''), ?, ?, ?, ?, ?, ?)`,
			p.ID, p.Code, p.Piece, p.Step, p.Reading, p.By, stamp(p.Received), p.Kind, hex.EncodeToString(digest[:]), p.Size, image)
		return err
	})
}

// sameThere reports whether an id is stored with the same digest, and refuses
// one that is stored with another.
func sameThere(ctx context.Context, tx *sql.Tx, id, query, digest string) (bool, error) {
	var stored string
	err := tx.QueryRowContext(ctx, query, id).Scan(&stored)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return false, nil
	case err == nil && stored != digest:
		return false, fault.New(fault.Conflict, "id", "Another photo is stored under this id. Give the new one its own.")
	}
	return err == nil, err
}

// refusePhoto says why a photo cannot be kept, if so.
func (s *Store) refusePhoto(ctx context.Context, tx *sql.Tx, p Photo) error {
	k, err := s.kept(ctx, tx, p.Code)
	if err != nil {
		return err
	}
	if _, found := progress.StepOf(k.Traveler, p.Step); !found || p.Piece < 1 || p.Piece > k.Most {
		return fault.New(fault.Invalid, "step", "This sheet has no piece %d with a step %d.", p.Piece, p.Step)
	}
	var known, taken int
	err = tx.QueryRowContext(ctx, `
		SELECT (SELECT count(*) FROM reading WHERE id = ?1 AND code = ?2), (SELECT coalesce(sum(size), 0) FROM photo WHERE code = ?2)`,
		p.Reading, p.Code).Scan(&known, &taken)
	switch {
	case err != nil:
		return err
	case p.Reading != "" && known == 0:
		return fault.New(fault.Invalid, "reading", "This sheet has no such reading.")
	case taken+p.Size > MostPhotos:
		return fault.New(fault.TooLarge, "photo", "This sheet has %d MB of photos already, which is all it can take.", taken>>20)
	}
	return nil
}

// Photos lists the photos of a sheet, in the order they came in, without their
// bytes. An unknown code has none.
func (s *Store) Photos(ctx context.Context, code string) ([]Photo, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT seq, id, code, piece, step, coalesce(reading, ''), kind, by_whom, size, received
		FROM photo WHERE code = ? ORDER BY seq`, traveler.TidyCode(code))
	return all(rows, err, func(rows *sql.Rows) (Photo, error) {
		var p Photo
		var received string
		err := rows.Scan(&p.Seq, &p.ID, &p.Code, &p.Piece, &p.Step, &p.Reading, &p.Kind, &p.By, &p.Size, &received)
		if err != nil {
			return p, err
		}
		p.Received, err = timeOf(received)
		return p, err
	})
}

var imageAt, kindAt = sealedPhotos.at("image"), sealedPhotos.at("kind")

// Picture gives the bytes of one photo of a sheet and their media type;
// fault.Missing when the sheet has none of that number. One that is damaged is
// refused with Damaged.
func (s *Store) Picture(ctx context.Context, code string, seq int64) (image []byte, kind string, err error) {
	row, err := sealedPhotos.proven(ctx, s.read, `code = ? AND seq = ?`, traveler.TidyCode(code), seq)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, "", fault.New(fault.Missing, "", "This sheet has no such photo.")
	}
	if err != nil {
		return nil, "", worded(err)
	}
	return row[imageAt].([]byte), row[kindAt].(string), nil
}
