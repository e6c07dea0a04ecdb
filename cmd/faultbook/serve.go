package main

import (
	"context"
	"fmt"
	"net"
	"strings"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/cmd/faultbook/page"
	"faultbook/kb/cases"

	"github.com/spf13/cobra"
)

// serveOptions are the flags of serve.
type serveOptions struct {
	listen  string
	network bool
	hosts   []string
	byBook  bool
}

func newServeCommand(s streams) *cobra.Command {
	var o serveOptions
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "Serve the page on this machine: calls and everything else in a browser",
		Long: `Serve shows the whole of faultbook in a browser, for one or for many at once. It
prints the address and goes on until it is interrupted; every call is saved
after every answer, so that nothing is lost then.

It answers this machine alone. To let others in, such as a phone beside the
rack, name an address with --listen and say --network too: a key is then printed
once, which each browser must give. There is no encryption: do that in networks
that you trust.

Exit status 2: wrong use or the address cannot be used, 130: interrupted.`,
		Example: `  faultbook serve
  faultbook serve --listen 192.0.2.10:8737 --network`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return runServe(s, o) },
	}
	f := cmd.Flags()
	f.StringVar(&o.listen, "listen", "127.0.0.1:8737", "`address`:port to answer at; port 0 takes a free one")
	f.BoolVar(&o.network, "network", false, "allow an address that others can reach, with a key")
	f.StringArrayVar(&o.hosts, "host", nil, "another `name` by which browsers may call this machine; can be repeated")
	f.BoolVar(&o.byBook, "book-only", false, "go by the book alone, not by what closed calls taught")
	return cmd
}

func runServe(s streams, o serveOptions) error {
	local, err := isLocal(o.listen)
	if err != nil {
		return err
	}
	if !local && !o.network {
		return wrongUse("others can reach %s: say --network too if that is meant, a key is then asked for", o.listen)
	}
	key := ""
	if !local {
		key = page.NewKey()
	}
	server, err := newPage(s, o, key)
	if err != nil {
		return err
	}
	l, err := net.Listen("tcp", o.listen)
	if err != nil {
		return wrongUse("answer at %s: %w; --listen names another address", o.listen, err)
	}
	fmt.Fprintf(s.Out, "http://%s/\n", l.Addr())
	if key != "" {
		fmt.Fprintf(s.Out, "key: %s\n", key)
	}
	return server.Serve(context.Background(), l) // an interrupt ends the program: every answer is on disk
}

// newPage gathers what the page needs.
func newPage(s streams, o serveOptions, key string) (*page.Server, error) {
	desk, err := openDesk(s, time.Now)
	if err != nil {
		return nil, err
	}
	dir, err := home()
	if err != nil {
		return nil, err
	}
	live := newLiveIndex(desk.Book, desk.Store)
	records := &liveRecords{wait: recordsWait, make: func(d *call.Desk) ([]cases.Record, []error) { return openLedger(s, d).Records() }}
	equip := func(d *call.Desk) {
		d.Similar, d.Counts = live.similar, learntCounts(s, d.Store, o.byBook)
		go d.Rooms() // reads all sheets beside the first call
		if d.Counts != nil {
			d.RoomCounts = roomCounts(s, d)
		}
	}
	equip(desk)
	refreshCounts(s, desk)
	var counting oneAtATime
	return page.New(page.Options{Desk: desk, Home: dir, Find: live.find, Hosts: o.hosts, Key: key, Now: time.Now,
		Ended: func(d *call.Desk, learnt func(*call.Desk)) {
			go live.renew(d.Book)
			counting.do(func() {
				countCalls(d)
				now := *d
				equip(&now)
				learnt(&now)
			})
		},
		Records: records.get,
		Forget:  func(d *call.Desk) error { return live.forget(d.Book) },
		Reload: func() (*call.Desk, error) {
			d, err := openDesk(s, time.Now)
			if err == nil {
				equip(d)
			}
			return d, err
		}})
}

// isLocal reports whether only this machine can reach an address.
func isLocal(listen string) (bool, error) {
	host, _, err := net.SplitHostPort(listen)
	if err != nil {
		return false, wrongUse("--listen %q: write address:port, such as 127.0.0.1:8737", listen)
	}
	if strings.EqualFold(host, "localhost") {
		return true, nil
	}
	ip := net.ParseIP(host)
	if host != "" && ip == nil {
		return false, wrongUse("--listen %q: write the address in figures, such as 127.0.0.1", listen)
	}
	return ip != nil && ip.IsLoopback(), nil
}
