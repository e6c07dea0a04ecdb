package page

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"html/template"
	"net"
	"net/http"
	"sync"
	"sync/atomic"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/index"
	"faultbook/kb/cases"
)

// Options are what the page needs.
type Options struct {
	Desk *call.Desk
	// Home is the user's data folder; nothing outside it is written.
	Home string
	// Find searches entries and cases; nil where there is no index.
	Find func(words string, o index.Options) (index.Results, error)
	// Ended is told when a call has ended, to bring counts and index up to
	// date; nil for nothing to do. It must not wait. It calls learnt, once it is
	// done, with a desk that knows of the call; calls that begin then use it.
	Ended func(d *call.Desk, learnt func(*call.Desk))
	// Records gives what all cases come to, with an error for each that cannot
	// be read; nil for none.
	Records func(*call.Desk) ([]cases.Record, []error)
	// Forget drops what was derived from a case whose text was removed; nil for
	// nothing to do.
	Forget func(*call.Desk) error
	// Reload reads the book again after an entry was saved; nil where entries
	// cannot be saved.
	Reload func() (*call.Desk, error)
	// Hosts are names beside localhost and addresses by which browsers may
	// call the page.
	Hosts []string
	// Key is what a browser must show once before it sees anything; "" where
	// only this machine can connect.
	Key string
	// Now is the clock.
	Now func() time.Time
}

// Server is the page. It is safe for several goroutines.
type Server struct {
	opt     Options
	current atomic.Pointer[call.Desk] // see desk
	secret  []byte                    // signs the tokens of sessions; new with every start
	pages   map[string]*template.Template
	calls   *calls
	// reasoning lets one long reason be made at a time.
	reasoning sync.Mutex
	trees     trees
	screens   []screen
	rates     *rates // by browser
	// by address: all requests, and tries at the key
	addresses, entries *rates
	mux                *http.ServeMux
}

// New makes the page. An error is a fault of the program: its templates are
// embedded.
func New(opt Options) (*Server, error) {
	s := &Server{opt: opt, secret: make([]byte, 32)}
	rand.Read(s.secret) // never fails
	s.current.Store(opt.Desk)
	s.calls = newCalls(s.desk, opt.Now)
	s.rates = newRates(opt.Now, requestsPerSecond, requestsAtOnce)
	s.addresses = newRates(opt.Now, addressPerSecond, addressAtOnce)
	s.entries = newRates(opt.Now, entriesPerSecond, entriesAtOnce)
	var err error
	if s.pages, err = parsePages(); err != nil {
		return nil, fmt.Errorf("templates of the page: %w", err)
	}
	s.screens = s.allScreens()
	s.mux = s.newMux()
	return s, nil
}

// desk is the desk with the book as it was last read. A call that is open keeps
// the book that it began with.
func (s *Server) desk() *call.Desk { return s.current.Load() }

// ended passes on that a call has ended.
func (s *Server) ended() {
	if s.opt.Ended == nil {
		return
	}
	d := s.desk()
	s.opt.Ended(d, func(n *call.Desk) { s.current.CompareAndSwap(d, n) }) // unless the book was read again meanwhile
}

// renew reads the book again.
func (s *Server) renew() error {
	if s.opt.Reload == nil {
		return nil
	}
	desk, err := s.opt.Reload()
	if err != nil {
		return fmt.Errorf("read the book again: %w", err)
	}
	s.current.Store(desk)
	return nil
}

// Handler answers requests.
func (s *Server) Handler() http.Handler { return s.guard(s.mux) }

// Times within which a browser must be done.
const (
	headerTime = 5 * time.Second
	readTime   = 20 * time.Second
	writeTime  = 30 * time.Second
	idleTime   = 90 * time.Second
	closeTime  = 3 * time.Second
)

// maxHeader is the largest header of a request, in bytes.
const maxHeader = 16 << 10

// Serve answers on the listener until the context ends.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	web := &http.Server{Handler: s.Handler(), ReadHeaderTimeout: headerTime, ReadTimeout: readTime,
		WriteTimeout: writeTime, IdleTimeout: idleTime, MaxHeaderBytes: maxHeader}
	done := make(chan error, 1)
	go func() { done <- web.Serve(limitListener(l, mostConnections)) }()
	select {
	case err := <-done:
		return fmt.Errorf("serve the page: %w", err)
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.Background(), closeTime)
	defer cancel()
	err := web.Shutdown(last)
	<-done
	if errors.Is(err, context.DeadlineExceeded) {
		return web.Close()
	}
	return err
}
