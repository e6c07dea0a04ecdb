package browser

import (
	"context"
	"fmt"
	"net"
	"net/url"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// seen is what a page did to the world around it.
type seen struct {
	mu       sync.Mutex
	requests []string
	bytes    map[string]int64 // by request id, as they went over the wire
	errors   []string
	offline  bool
}

// enable asks the browser to tell.
func (s *seen) enable(ctx context.Context) error {
	return chromedp.Do(ctx, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		if _, err := cdp.Call(ctx, t, network.Enable, network.EnableParams{}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, t, log.Enable, cdp.Empty{})
		return err
	}))
}

// take notes an event of the page.
func (s *seen) take(event any) {
	s.mu.Lock()
	defer s.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		s.requests = append(s.requests, e.Request.URL)
	case *network.EventWebSocketCreated:
		s.requests = append(s.requests, e.URL)
	case *network.EventLoadingFinished:
		if s.bytes == nil {
			s.bytes = map[string]int64{}
		}
		s.bytes[string(e.RequestID)] = int64(e.EncodedDataLength)
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError && !(s.offline && strings.Contains(e.Entry.Text, "ERR_INTERNET_DISCONNECTED")) && !strings.Contains(e.Entry.Text, "the server responded with a status of") {
			s.errors = append(s.errors, fmt.Sprintf("%s (%s)", e.Entry.Text, e.Entry.URL))
		}
	case *runtime.EventExceptionThrown:
		s.errors = append(s.errors, exceptionText(e.ExceptionDetails))
	}
}

func exceptionText(d *runtime.ExceptionDetails) string {
	text := "exception: " + d.Text
	if d.Exception != nil {
		text += " " + d.Exception.Description
	}
	return text
}

// check fails the test for requests to other machines and for errors.
func (s *seen) check(t testing.TB) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, r := range s.requests {
		if !stays(r) {
			t.Errorf("the page asked another machine: %s", r)
		}
	}
	for _, e := range s.errors {
		t.Errorf("the page's console: %s", e)
	}
}

// stays reports whether a request stays on this machine.
func stays(address string) bool {
	u, err := url.Parse(address)
	if err != nil {
		return false
	}
	switch u.Scheme {
	case "data", "blob", "about":
		return true
	}
	ip := net.ParseIP(u.Hostname())
	return u.Hostname() == "localhost" || ip != nil && ip.IsLoopback()
}

// Requests are the addresses that the page asked for so far.
func (p *Page) Requests() []string {
	p.seen.mu.Lock()
	defer p.seen.mu.Unlock()
	return append([]string{}, p.seen.requests...)
}

// Bytes is what all requests so far brought over the wire.
func (p *Page) Bytes() int64 {
	p.seen.mu.Lock()
	defer p.seen.mu.Unlock()
	var sum int64
	for _, n := range p.seen.bytes {
		sum += n
	}
	return sum
}

// Offline cuts the page off from every server, or joins it again.
func (p *Page) Offline(cut bool) {
	p.t.Helper()
	p.seen.mu.Lock()
	p.seen.offline = p.seen.offline || cut
	p.seen.mu.Unlock()
	p.do("cut the connection", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		rules := []*network.Conditions{}
		if cut {
			rules = append(rules, &network.Conditions{Offline: cut, DownloadThroughput: -1, UploadThroughput: -1})
		}
		_, err := cdp.Call(ctx, t, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{MatchedNetworkConditions: rules})
		if err != nil {
			return err
		}
		_, err = cdp.Call(ctx, t, network.OverrideNetworkState, network.OverrideNetworkStateParams{Offline: cut, DownloadThroughput: -1, UploadThroughput: -1})
		return err
	}))
}
