package main

import (
	"bufio"
	"bytes"
	"encoding/hex"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// call is one thing that a program told the system, as strace saw it.
type call struct {
	name        string // pwrite64, fsync, ftruncate, or write to a socket
	file        string // its last name
	begun, done int    // lines of the trace; done is beyond all while it is not
	at          int64  // place of what is written, or the new length
	data        []byte
}

// unfinished stands at the end of the line of a call that has not come back.
const unfinished = "unfinished ..."

// readTrace reads what strace -f -y -xx wrote, in its order.
func readTrace(t *testing.T, path string) []*call {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var calls []*call
	open := map[string]*call{} // by thread
	in := bufio.NewScanner(f)
	in.Buffer(nil, 1<<22)
	for line := 0; in.Scan(); line++ {
		thread, rest, _ := strings.Cut(in.Text(), " ")
		rest = strings.TrimLeft(rest, " ")
		if strings.HasPrefix(rest, "<... ") {
			if c := open[thread]; c != nil {
				c.done, open[thread] = line, nil
			}
			continue
		}
		c := callOf(t, rest)
		if c == nil {
			continue
		}
		c.begun, c.done = line, line
		if strings.HasSuffix(rest, "<"+unfinished+">") {
			c.done, open[thread] = math.MaxInt, c
		}
		calls = append(calls, c)
	}
	if err := in.Err(); err != nil {
		t.Fatal(err)
	}
	return calls
}

// callOf reads one line; nil for what is no call on a file.
func callOf(t *testing.T, line string) *call {
	t.Helper()
	name, args, found := strings.Cut(line, "(")
	_, args, of := strings.Cut(args, "<")
	path, args, ends := strings.Cut(args, ">")
	if !found || !of || !ends || path == unfinished { // the last: of a process that is gone strace has no name of a file
		return nil
	}
	c := &call{name: name, file: filepath.Base(string(unhex(t, path)))}
	if _, quoted, is := strings.Cut(args, `"`); is {
		data, after, _ := strings.Cut(quoted, `"`)
		c.data, args = unhex(t, data), after
	}
	if strings.Contains(line, "...,") {
		t.Fatalf("strace cut the line %.200s", line)
	}
	numbers := strings.FieldsFunc(args, func(r rune) bool { return strings.ContainsRune(" ,)=", r) })
	switch name {
	case "pwrite64": // how many bytes, and where
		c.at = number(t, numbers[1])
	case "ftruncate":
		c.at = number(t, numbers[0])
	}
	return c
}

func unhex(t *testing.T, text string) []byte {
	t.Helper()
	data, err := hex.DecodeString(strings.ReplaceAll(text, `\x`, ""))
	if err != nil {
		t.Fatalf("strace wrote %.100s: %v", text, err)
	}
	return data
}

func number(t *testing.T, text string) int64 {
	t.Helper()
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

const sector = 512 // bytes that a disk writes whole or not at all

// disk is what a disk may hold of a file when the power goes at a line of the
// trace, from what it held before. What was made durable is there. Of what was
// only written each piece may be there, or not, or some of its sectors.
func disk(before []byte, calls []*call, file string, line int, random *rand.Rand) []byte {
	held := bytes.Clone(before)
	for i, c := range calls {
		if c.file != file || c.begun > line || c.name != "pwrite64" && c.name != "ftruncate" {
			continue
		}
		fate := random.IntN(3)
		if durable(calls[i:], c, line) {
			fate = 0
		}
		switch {
		case fate == 1: // none of it
		case c.name == "ftruncate":
			held = append(held, make([]byte, max(0, int(c.at)-len(held)))...)[:c.at]
		case fate == 0:
			held = laid(held, c.data, c.at)
		default:
			for _, piece := range sectors(c) {
				if random.IntN(2) == 0 {
					held = laid(held, piece.data, piece.at)
				}
			}
		}
	}
	return held
}

// durable reports whether a sync that began after a call was done had ended by a
// line.
func durable(after []*call, c *call, line int) bool {
	for _, s := range after {
		if s.begun > line {
			return false
		}
		if (s.name == "fsync" || s.name == "fdatasync") && s.file == c.file && s.begun >= c.done && s.done <= line {
			return true
		}
	}
	return false
}

// sectors cuts what is written at the borders of sectors.
func sectors(c *call) (pieces []call) {
	for data, at := c.data, c.at; len(data) > 0; {
		n := min(int64(len(data)), sector-at%sector)
		pieces = append(pieces, call{at: at, data: data[:n]})
		data, at = data[n:], at+n
	}
	return pieces
}

// laid gives a file with something written over it.
func laid(held, data []byte, at int64) []byte {
	if grow := int(at) + len(data) - len(held); grow > 0 {
		held = append(held, make([]byte, grow)...)
	}
	copy(held[at:], data)
	return held
}
