package page

import (
	"errors"
	"fmt"
	"net/http"
	"os"
	"runtime/debug"
	"strings"
)

// screen is one part of the page.
type screen struct {
	// Path and Label stand in the navigation; Label "" keeps it out of there.
	Path, Label string
	Routes      []route
}

// route is a pattern of the mux with its handler, such as "GET /find".
type route struct {
	Pattern string
	Do      func(v *visit) error
	// MaxBody is the largest body in bytes; defaultBody where 0.
	MaxBody int64
	// Open routes need no key: the entry itself and the assets.
	Open bool
}

// allScreens lists the screens in the order of the navigation.
func (s *Server) allScreens() []screen {
	return []screen{
		s.callScreen(),
		s.callsScreen(),
		s.findScreen(),
		s.casesScreen(),
		s.roomScreen(),
		s.treeScreen(),
		s.sumScreen(),
		s.readScreen(),
		s.bookScreen(),
		s.writeScreen(),
		s.reviewScreen(),
		s.statsScreen(),
		s.helpScreen(),
		s.entryScreen(),
		s.assetScreen(),
	}
}

// visit is one request, the browser that sent it and the answer to it.
type visit struct {
	w       http.ResponseWriter
	r       *http.Request
	browser string // id of the browser's session
	agent   string // the name that the agent goes by, "" where none was given
}

// value is a field of the form or the query, "" where there is none.
func (v *visit) value(name string) string { return v.r.FormValue(name) }

// part reports whether a script asks for the changed part alone, not for a
// whole page.
func (v *visit) part() bool { return v.r.Header.Get("X-Part") != "" }

// redirect sends the browser to another page of ours after a change.
func (v *visit) redirect(path string) error {
	http.Redirect(v.w, v.r, path, http.StatusSeeOther)
	return nil
}

// problem is an error that the person at the browser can do something about.
type problem struct {
	status int
	text   string
}

func (p problem) Error() string { return p.text }

// wrong is a problem of what was sent.
func wrong(format string, args ...any) error {
	return problem{http.StatusBadRequest, fmt.Sprintf(format, args...)}
}

// missing is a problem of an address that leads nowhere.
func missing(format string, args ...any) error {
	return problem{http.StatusNotFound, fmt.Sprintf(format, args...)}
}

func (s *Server) newMux() *http.ServeMux {
	mux := http.NewServeMux()
	for _, sc := range s.screens {
		for _, rt := range sc.Routes {
			mux.Handle(rt.Pattern, s.serve(rt))
		}
	}
	mux.Handle("/", s.serve(route{Do: func(*visit) error { return missing("There is no page at this address.") }}))
	return mux
}

// serve runs the handler of a route behind the checks that depend on it.
func (s *Server) serve(rt route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		v := s.visit(w, r)
		defer func() {
			if p := recover(); p != nil {
				fmt.Fprintf(os.Stderr, "faultbook: a fault of the page: %v\n%s", p, debug.Stack()) // the standard logger is silenced by package index
				s.fail(v, fmt.Errorf("a fault of the program itself; what was sent before is kept"))
			}
		}()
		if err := s.admit(v, rt); err != nil {
			s.fail(v, err)
			return
		}
		if err := rt.Do(v); err != nil {
			s.fail(v, err)
		}
	})
}

// fail shows an error as a page, or as a line of text to a script.
func (s *Server) fail(v *visit, err error) {
	p := problem{http.StatusInternalServerError, err.Error()}
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		p = problem{http.StatusRequestEntityTooLarge, fmt.Sprintf("That is too large: at most %d kB are taken.", large.Limit>>10)}
	}
	errors.As(err, &p)
	whole := !v.part() && !strings.HasPrefix(v.r.Header.Get("Accept"), "application/json")
	if err == errNoKey && whole && v.r.Method == http.MethodGet {
		s.entry(v)
		return
	}
	if !whole {
		v.w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		v.w.WriteHeader(p.status)
		fmt.Fprint(v.w, p.text)
		return
	}
	s.renderStatus(v, p.status, "problem", "That did not work", p)
}
