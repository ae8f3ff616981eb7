package shoptest

import (
	"net"
	"net/http"
	"sync"
	"sync/atomic"
)

// counter counts what several requests do.
type counter struct {
	sync.Mutex
	n int
}

func (c *counter) add(n int) {
	c.Lock()
	defer c.Unlock()
	c.n += n
}

// wire is a listener whose connections count their bytes.
type wire struct {
	net.Listener
	count *counter
}

// Accept implements net.Listener.
func (w wire) Accept() (net.Conn, error) {
	c, err := w.Listener.Accept()
	return wired{c, w.count}, err
}

type wired struct {
	net.Conn
	count *counter
}

// Read implements io.Reader.
func (w wired) Read(b []byte) (int, error) {
	n, err := w.Conn.Read(b)
	w.count.add(n)
	return n, err
}

// Write implements io.Writer.
func (w wired) Write(b []byte) (int, error) {
	n, err := w.Conn.Write(b)
	w.count.add(n)
	return n, err
}

func (c *counter) Value() int {
	c.Lock()
	defer c.Unlock()
	return c.n
}

// Switched serves pages until it is told that the service is down; then it breaks off,
// as one that does not answer.
func Switched(pages http.Handler) (switched http.HandlerFunc, down *atomic.Bool) {
	down = new(atomic.Bool)
	return func(w http.ResponseWriter, r *http.Request) {
		if down.Load() {
			panic(http.ErrAbortHandler)
		}
		pages.ServeHTTP(w, r)
	}, down
}
