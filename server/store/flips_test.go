package store

import (
	"context"
	"database/sql"
	"encoding/binary"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"brakeside/calc/fault"
)

var flips = flag.Int("flips", 40, "how many single bits of a store are turned, one at a time")

// TestFlippedBits turns single bits of a store's file, one at a time: half of them
// anywhere, half on the pages of tables and indexes, which are few beside those of
// papers and photos. Whoever looks for damage finds each that is in use. What is
// not found changes nothing that can be read, and lies where the file holds
// nothing: in the room between rows, or in one of the few places that SQLite
// writes and does not read.
func TestFlippedBits(t *testing.T) {
	dir := t.TempDir()
	s := workedShop(t, dir)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	good, err := os.ReadFile(dbPath(dir))
	if err != nil {
		t.Fatal(err)
	}
	before := dumped(t, dir)
	if before == "" || damageIn(t, dir) {
		t.Fatal("damaged before anything was done")
	}
	used, trees := mapOf(good)
	random := rand.New(rand.NewPCG(2026, 12))
	found, unused := 0, 0
	for n := 0; found < *flips; n++ {
		at := random.IntN(len(good))
		if n%2 == 0 {
			at = trees[random.IntN(len(trees))]*pageSize + random.IntN(pageSize)
		}
		bad := append([]byte(nil), good...)
		bad[at] ^= 1 << random.IntN(8)
		if err := os.WriteFile(dbPath(dir), bad, 0o600); err != nil {
			t.Fatal(err)
		}
		switch {
		case damageIn(t, dir):
			if used[at] {
				found++
			}
		case dumped(t, dir) != before:
			t.Fatalf("byte %d (page %d, at %d), %02x for %02x: not found, and something else is read", at, at/pageSize+1, at%pageSize, bad[at], good[at])
		case used[at]:
			t.Errorf("byte %d (page %d, at %d), %02x for %02x: in use and not found", at, at/pageSize+1, at%pageSize, bad[at], good[at])
			found++
		default:
			unused++
		}
	}
	t.Logf("%d kB, %d flips in bytes that are in use, %d in others that changed nothing", len(good)/1000, found, unused)
}

// damageIn reports whether a store is said to be damaged, or not to be one.
func damageIn(t *testing.T, dir string) bool {
	t.Helper()
	v, err := View(dir)
	if err != nil {
		return true
	}
	defer v.Close()
	found, err := v.Check(context.Background())
	if err != nil && fault.KindOf(err) == fault.Internal {
		t.Fatal(err)
	}
	return err != nil || len(found) > 0
}

// dumped gives all that can be read in a store as a text: the schema, and each row
// of each table with the kinds of its values.
func dumped(t *testing.T, dir string) string {
	t.Helper()
	v, err := View(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer v.Close()
	var text strings.Builder
	for _, table := range append(tablesOf(t, v), "sqlite_schema") {
		rows, err := v.read.Query(`SELECT * FROM ` + table)
		err = each(rows, err, func(rows *sql.Rows) error {
			row, err := scanAny(rows)
			fmt.Fprintf(&text, "%s %q\n", table, row)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return text.String()
}

const pageSize = 4096

// mapOf tells which bytes of a database are in use, and which pages (from 0) are
// those of tables and indexes, from the description of the file format of SQLite
// (sqlite.org/fileformat2.html) and not from the database.
func mapOf(file []byte) (used []bool, trees []int) {
	m := &pages{file, make([]bool, len(file)), nil}
	m.use(0, 100)
	m.spare(40, 44)  // how often the schema changed: compared only while a file is open
	m.spare(96, 100) // the release of the library that wrote last
	m.tree(1, true)
	return m.used, m.trees
}

type pages struct {
	file  []byte
	used  []bool
	trees []int
}

func (m *pages) use(from, to int) {
	for at := from; at < to; at++ {
		m.used[at] = true
	}
}

func (m *pages) spare(from, to int) {
	for at := from; at < to; at++ {
		m.used[at] = false
	}
}

func (m *pages) two(at int) int  { return int(binary.BigEndian.Uint16(m.file[at:])) }
func (m *pages) four(at int) int { return int(binary.BigEndian.Uint32(m.file[at:])) }

func (m *pages) varint(at int) (value, next int) {
	for n := range 9 {
		b := m.file[at+n]
		if n == 8 {
			return value<<8 | int(b), at + 9
		}
		value = value<<7 | int(b&0x7f)
		if b < 0x80 {
			return value, at + n + 1
		}
	}
	return value, at
}

// tree marks a page of a table or an index, what it holds and what hangs on it. On
// the tree of page 1 hang all others: it is the list where each begins.
func (m *pages) tree(page int, list bool) {
	begins := (page - 1) * pageSize
	m.trees = append(m.trees, page-1)
	head := begins
	if page == 1 {
		head += 100
	}
	kind, cells, size := m.file[head], m.two(head+3), 8
	if kind == 2 || kind == 5 {
		size = 12
		m.tree(m.four(head+8), list)
	}
	m.use(head, head+size+2*cells)
	for n := range cells {
		m.cell(kind, begins+m.two(head+size+2*n), list)
	}
}

// cell marks a row or an entry of an index. On the list each row names a root.
func (m *pages) cell(kind byte, at int, list bool) {
	next := at
	if kind == 2 || kind == 5 {
		m.tree(m.four(at), list)
		next += 4
	}
	payload := 0
	if kind != 5 {
		payload, next = m.varint(next)
	}
	if kind == 5 || kind == 13 {
		_, next = m.varint(next)
	}
	local := localPart(kind, payload)
	m.use(at, next+local)
	if list && kind == 13 {
		if root := m.rootIn(next); root != 0 {
			m.tree(root, false)
		}
	}
	if local == payload {
		return
	}
	m.use(next+local, next+local+4)
	for over, rest := m.four(next+local), payload-local; over != 0; {
		from := (over - 1) * pageSize
		n := min(rest, pageSize-4)
		m.use(from, from+4+n)
		over, rest = m.four(from), rest-n
	}
}

// localPart is how much of a row or an entry stands on the page itself.
func localPart(kind byte, payload int) int {
	most := pageSize - 35
	if kind != 13 {
		most = (pageSize-12)*64/255 - 23
	}
	if payload <= most {
		return payload
	}
	least := (pageSize-12)*32/255 - 23
	if part := least + (payload-least)%(pageSize-4); part <= most {
		return part
	}
	return least
}

// rootIn reads the page where a table or an index begins, the fourth column of a
// row of the list; 0 for a trigger.
func (m *pages) rootIn(record int) int {
	size, next := m.varint(record)
	at := record + size
	for column := 0; ; column++ {
		kind, after := m.varint(next)
		length := map[int]int{1: 1, 2: 2, 3: 3, 4: 4}[kind]
		if kind >= 12 {
			length = (kind - 12) / 2
		}
		if column < 3 {
			at, next = at+length, after
			continue
		}
		root := 0
		for _, b := range m.file[at : at+length] {
			root = root<<8 | int(b)
		}
		if kind == 9 {
			root = 1
		}
		return root
	}
}
