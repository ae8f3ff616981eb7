package shoptest

import (
	"net"
	"sync"
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
