package page

import (
	"bufio"
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"runtime"
	"testing"
	"time"
)

// serving runs the server itself on a free port.
func serving(t *testing.T) (address string, stop func()) {
	t.Helper()
	p := newTestPage(t)
	p.web.Close()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- p.Serve(ctx, l) }()
	return l.Addr().String(), func() {
		cancel()
		select {
		case err := <-done:
			if err != nil {
				t.Errorf("the server ended with %v", err)
			}
		case <-time.After(closeTime + 5*time.Second):
			t.Error("the server does not end")
		}
	}
}

// TestServeEnds: the server ends when it is told to, with a browser still
// connected, and leaves nothing running.
func TestServeEnds(t *testing.T) {
	before := runtime.NumGoroutine()
	address, stop := serving(t)
	client := &http.Client{Transport: &http.Transport{}}
	r, err := client.Get("http://" + address + "/")
	if err != nil {
		t.Fatal(err)
	}
	io.Copy(io.Discard, r.Body) // so that the connection stays open
	r.Body.Close()
	stop()
	client.CloseIdleConnections()
	settled(t, before)
}

// TestSlowClient: a browser that does not finish its request is cut off.
func TestSlowClient(t *testing.T) {
	if testing.Short() {
		t.Skip("takes as long as a slow client may: run without -short")
	}
	address, stop := serving(t)
	defer stop()
	c, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	io.WriteString(c, "GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: ") // and no more
	c.SetReadDeadline(time.Now().Add(headerTime + 5*time.Second))
	if _, err := bufio.NewReader(c).ReadByte(); err == nil {
		return // told so
	} else if !errors.Is(err, io.EOF) {
		t.Errorf("after %v: %v, want the connection closed", headerTime, err)
	}
}

// TestConnections: more connections than are allowed wait for a free place.
func TestConnections(t *testing.T) {
	inner, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	l := limitListener(inner, 2)
	accepted := make(chan net.Conn, 4)
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				close(accepted)
				return
			}
			accepted <- c
		}
	}()
	for range 3 {
		c, err := net.Dial("tcp", inner.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
	}
	first := <-accepted
	<-accepted
	select {
	case <-accepted:
		t.Fatal("three at once")
	case <-time.After(50 * time.Millisecond):
	}
	first.Close()
	first.Close() // frees one place only
	<-accepted
	l.Close()
	if _, open := <-accepted; open {
		t.Error("one more was let in")
	}
}
