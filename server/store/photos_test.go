package store

import (
	"bytes"
	"context"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"brakeside/calc/fault"
	"brakeside/traveler/standing"
)

// aPhoto is a photo of the first bend of test sheet n.
func aPhoto(id string, n int) Photo {
	return Photo{ID: id, Code: code(n), Piece: 1, Step: 1, Kind: "image/jpeg", By: "AB"}
}

func TestPhotos(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	issue(t, s, plan(1, 2))
	issue(t, s, plan(2, 2))
	mustPost(t, s, code(1), body("r1", 1, 1, 90))
	first, second := aPhoto("p1", 1), aPhoto("p2", 1)
	first.Code, first.Reading = strings.ToUpper(first.Code), "r1"
	for _, p := range []Photo{first, second, aPhoto("p3", 2), first} {
		if err := s.AddPhoto(ctx, p, []byte("picture "+p.ID)); err != nil {
			t.Fatalf("AddPhoto(%s) = %v", p.ID, err)
		}
	}
	photos, err := s.Photos(ctx, code(1))
	first.Code, first.Seq, first.Size, first.Received = code(1), 1, 10, noon
	if err != nil || len(photos) != 2 || !reflect.DeepEqual(photos[0], first) || photos[1].ID != "p2" || photos[1].Reading != "" {
		t.Errorf("Photos = %+v, %v, want %+v and p2", photos, err, first)
	}
	image, kind, err := s.Picture(ctx, code(1), 1)
	if err != nil || string(image) != "picture p1" || kind != "image/jpeg" {
		t.Errorf("Picture(1) = %q, %s, %v, want the bytes that came in", image, kind, err)
	}
	if _, _, err := s.Picture(ctx, code(2), 1); fault.KindOf(err) != fault.Missing {
		t.Errorf("Picture(of another sheet) = %v, want it missing", err)
	}
	if none, err := s.Photos(ctx, code(9)); err != nil || len(none) != 0 {
		t.Errorf("Photos(unknown) = %v, %v, want none", none, err)
	}
}

func TestAddPhotoRefuses(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	for n := 1; n <= 3; n++ {
		issue(t, s, plan(n, 2))
	}
	mustPost(t, s, code(2), body("r2", 1, 1, 90))
	if err := s.AddPhoto(ctx, aPhoto("p1", 1), []byte("one")); err != nil {
		t.Fatal(err)
	}
	if err := s.AddEvent(ctx, Event{Code: code(3), Kind: standing.Closed, Detail: "all made"}); err != nil {
		t.Fatal(err)
	}
	with := func(change func(*Photo)) Photo { p := aPhoto("new", 1); change(&p); return p }
	cases := []struct {
		name  string
		photo Photo
		image []byte
		want  fault.Kind
	}{
		{"other bytes under a stored id", aPhoto("p1", 1), []byte("two"), fault.Conflict},
		{"an unknown sheet", aPhoto("new", 8), []byte("x"), fault.Missing},
		{"a step that is not there", with(func(p *Photo) { p.Step = 9 }), []byte("x"), fault.Invalid},
		{"a piece that is not there", with(func(p *Photo) { p.Piece = 3 }), []byte("x"), fault.Invalid},
		{"a reading that is not there", with(func(p *Photo) { p.Reading = "nobody" }), []byte("x"), fault.Invalid},
		{"a reading of another sheet", with(func(p *Photo) { p.Reading = "r2" }), []byte("x"), fault.Invalid},
		{"nothing", aPhoto("new", 1), nil, fault.TooLarge},
		{"too much", aPhoto("new", 1), make([]byte, MostPhoto+1), fault.TooLarge},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			refused(t, s.AddPhoto(ctx, c.photo, c.image), c.want, "AddPhoto")
		})
	}
	if photos, err := s.Photos(ctx, code(1)); err != nil || len(photos) != 1 {
		t.Errorf("Photos = %d, %v, want the one good one", len(photos), err)
	}
	if err := s.AddPhoto(ctx, with(func(p *Photo) { p.Kind = "text/html" }), []byte("x")); err == nil {
		t.Error("AddPhoto(a page) = nil, want the database to refuse what is no picture")
	}
}

// A sheet takes so many bytes of photos and not more; others go on.
func TestPhotosOfASheetAreBounded(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 2))
	issue(t, s, plan(2, 2))
	ctx := context.Background()
	large := bytes.Repeat([]byte{7}, MostPhoto)
	n := 0
	var err error
	for ; err == nil && n <= MostPhotos/MostPhoto; n++ {
		err = s.AddPhoto(ctx, aPhoto(fmt.Sprintf("p%d", n), 1), large)
	}
	refused(t, err, fault.TooLarge, "AddPhoto past the limit of a sheet")
	if n-1 != MostPhotos/MostPhoto {
		t.Errorf("%d photos of the largest size were taken, want %d", n-1, MostPhotos/MostPhoto)
	}
	if err := s.AddPhoto(ctx, aPhoto("other", 2), []byte("x")); err != nil {
		t.Errorf("AddPhoto(another sheet) = %v, want it taken", err)
	}
}

func TestCheckFindsADamagedPhoto(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 2))
	ctx := context.Background()
	if err := s.AddPhoto(ctx, aPhoto("p1", 1), []byte("a picture")); err != nil {
		t.Fatal(err)
	}
	if damage, err := s.Check(ctx); err != nil || len(damage) != 0 {
		t.Fatalf("Check = %v, %v, want no damage", damage, err)
	}
	edited(t, s, `UPDATE photo SET image = CAST('A picture' AS BLOB)`)
	if damage, err := s.Check(ctx); err != nil || len(damage) != 2 || damage[0].Where != "photo p1" || damage[1].Where != "photo 1" {
		t.Errorf("Check = %v, %v, want the photo named", damage, err)
	}
}

// A backup brings photos along, and one without them does not go over a store
// that has some.
func TestRestoreMindsPhotos(t *testing.T) {
	dir := t.TempDir()
	s := openStore(t, dir)
	issue(t, s, plan(1, 2))
	ctx := context.Background()
	early, late := dir+"/early.bak", dir+"/late.bak"
	if err := s.Backup(ctx, early); err != nil {
		t.Fatal(err)
	}
	s.now = func() time.Time { return noon.Add(time.Hour) }
	if err := s.AddPhoto(ctx, aPhoto("p1", 1), []byte("x")); err != nil {
		t.Fatal(err)
	}
	if err := s.Backup(ctx, late); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	refused(t, Restore(dir, early), fault.Conflict, "Restore(before the photo)")
	if err := Restore(dir, late); err != nil {
		t.Errorf("Restore(with the photo) = %v", err)
	}
	old := t.TempDir()
	oldDatabase(t, old)
	if err := Restore(t.TempDir(), dbPath(old)); err != nil {
		t.Errorf("Restore(a backup from before there were photos) = %v", err)
	}
}
