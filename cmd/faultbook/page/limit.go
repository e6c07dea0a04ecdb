package page

import (
	"net"
	"net/http"
	"sync"
	"time"
)

// Rates: a browser sends a request a key and a few a second while somebody
// types; a step costs the desk some milliseconds, so that one browser that
// floods cannot take the desk from the others. Many agents at one address are
// many browsers.
const (
	requestsPerSecond = 100
	requestsAtOnce    = 400
	addressPerSecond  = 2000
	addressAtOnce     = 4000
	entriesPerSecond  = 0.1
	entriesAtOnce     = 6
	mostBuckets       = 2000
	mostConnections   = 600
)

// rates lets every name do so much a second, and some at once.
type rates struct {
	now       func() time.Time
	perSecond float64
	atOnce    float64
	mutex     sync.Mutex
	buckets   map[string]bucket
}

type bucket struct {
	left float64
	at   time.Time
}

func newRates(now func() time.Time, perSecond, atOnce float64) *rates {
	return &rates{now: now, perSecond: perSecond, atOnce: atOnce, buckets: map[string]bucket{}}
}

// allow takes one from the name's bucket and reports whether there was one.
func (r *rates) allow(name string) bool {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	at := r.now()
	b, ok := r.buckets[name]
	if !ok {
		if len(r.buckets) >= mostBuckets {
			r.forget(at)
		}
		b = bucket{r.atOnce, at}
	}
	b.left = min(r.atOnce, b.left+at.Sub(b.at).Seconds()*r.perSecond)
	b.at = at
	allowed := b.left >= 1
	if allowed {
		b.left--
	}
	r.buckets[name] = b
	return allowed
}

// forget drops the buckets that are full again; where none is, all newcomers
// share what is left, so memory stays bounded.
func (r *rates) forget(at time.Time) {
	for name, b := range r.buckets {
		if b.left+at.Sub(b.at).Seconds()*r.perSecond >= r.atOnce {
			delete(r.buckets, name)
		}
	}
	for name := range r.buckets {
		if len(r.buckets) < mostBuckets {
			break
		}
		delete(r.buckets, name)
	}
}

// inRate counts a request on its browser's session, which a program can make
// up anew each time, and on the address that it comes from, which it cannot.
func (s *Server) inRate(r *http.Request) bool {
	host := address(r)
	if !s.addresses.allow(host) {
		return false
	}
	id := session(r)
	return id == "" || s.rates.allow(id)
}

// address is where a request comes from, without the port.
func address(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}

// limitListener lets at most n connections be open at once; more wait.
func limitListener(l net.Listener, n int) net.Listener {
	return &limited{Listener: l, slots: make(chan struct{}, n), done: make(chan struct{})}
}

type limited struct {
	net.Listener
	slots chan struct{}
	done  chan struct{}
	once  sync.Once
}

func (l *limited) Accept() (net.Conn, error) {
	select {
	case l.slots <- struct{}{}:
	case <-l.done:
		return nil, net.ErrClosed
	}
	c, err := l.Listener.Accept()
	if err != nil {
		<-l.slots
		return nil, err
	}
	return &slotConn{Conn: c, free: func() { <-l.slots }}, nil
}

func (l *limited) Close() error {
	l.once.Do(func() { close(l.done) })
	return l.Listener.Close()
}

type slotConn struct {
	net.Conn
	free func()
	once sync.Once
}

func (c *slotConn) Close() error {
	c.once.Do(c.free)
	return c.Conn.Close()
}
