package page

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"net"
	"net/http"
	"net/url"
	"strconv"
	"strings"
)

// policy lets a page load our own files alone and run no code that stands in
// the page itself.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// defaultBody is the largest body of a request, in bytes, where a route says
// nothing else.
const defaultBody = 64 << 10

// Names of the cookies.
const (
	sessionCookie = "faultbook-session"
	keyCookie     = "faultbook-key"
	agentCookie   = "faultbook-agent"
)

// guard is what every request passes before the mux.
func (s *Server) guard(next http.Handler) http.Handler {
	origin := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		setHeaders(w.Header())
		if !s.knowsHost(r.Host) {
			http.Error(w, "This page answers to the address that faultbook printed, and to no other name.", http.StatusMisdirectedRequest)
			return
		}
		if !s.inRate(r) {
			w.Header().Set("Retry-After", "2")
			http.Error(w, "Too many requests at once. Wait a moment and try again; nothing is lost.", http.StatusTooManyRequests)
			return
		}
		if err := origin.Check(r); err != nil {
			http.Error(w, "This came from another page. Use the page itself.", http.StatusForbidden)
			return
		}
		next.ServeHTTP(w, r)
	})
}

func setHeaders(h http.Header) {
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cache-Control", "no-store")
}

// knowsHost refuses names that others may have pointed at this machine.
// An address cannot be pointed anywhere.
func (s *Server) knowsHost(host string) bool {
	name := host
	if h, port, err := net.SplitHostPort(host); err == nil {
		if _, err := strconv.ParseUint(port, 10, 16); err != nil {
			return false
		}
		name = h
	}
	name = strings.ToLower(strings.TrimSuffix(strings.TrimPrefix(strings.TrimSuffix(name, "]"), "["), "."))
	if ip := net.ParseIP(name); ip != nil {
		return s.opt.Key != "" || ip.IsLoopback()
	}
	if name == "localhost" {
		return true
	}
	for _, known := range s.opt.Hosts {
		if strings.EqualFold(known, name) {
			return true
		}
	}
	return false
}

// visit reads the cookies and gives a browser that has none a session.
func (s *Server) visit(w http.ResponseWriter, r *http.Request) *visit {
	v := &visit{w: w, r: r, browser: session(r)}
	if v.browser == "" {
		raw := make([]byte, 18)
		rand.Read(raw) // never fails
		v.browser = base64.RawURLEncoding.EncodeToString(raw)
		setCookie(w, sessionCookie, v.browser)
	}
	if c, err := r.Cookie(agentCookie); err == nil {
		if name, err := url.QueryUnescape(c.Value); err == nil {
			v.agent = cleanName(name)
		}
	}
	return v
}

// session is the id that the browser shows, "" where it shows none of ours.
func session(r *http.Request) string {
	c, err := r.Cookie(sessionCookie)
	if err != nil {
		return ""
	}
	if raw, err := base64.RawURLEncoding.DecodeString(c.Value); err != nil || len(raw) != 18 {
		return ""
	}
	return c.Value
}

// yearSeconds is how long a browser keeps a cookie.
const yearSeconds = 365 * 24 * 3600

func setCookie(w http.ResponseWriter, name, value string) {
	http.SetCookie(w, &http.Cookie{Name: name, Value: value, Path: "/", HttpOnly: true,
		SameSite: http.SameSiteStrictMode, MaxAge: yearSeconds})
}

// setName keeps an agent's name, which may hold any letters.
func setName(w http.ResponseWriter, name string) { setCookie(w, agentCookie, url.QueryEscape(name)) }

// token is what a form of this session must carry.
func (s *Server) token(browser string) string {
	m := hmac.New(sha256.New, s.secret)
	m.Write([]byte("form " + browser))
	return base64.RawURLEncoding.EncodeToString(m.Sum(nil)[:18])
}

// errNoKey says that the browser must give the key first.
var errNoKey = problem{http.StatusUnauthorized, "This browser has not given the key yet. Reload the page."}

// admit checks what depends on the route: key, size, token.
func (s *Server) admit(v *visit, rt route) error {
	if !rt.Open && !s.hasKey(v.r) {
		return errNoKey
	}
	if v.r.Method == http.MethodGet || v.r.Method == http.MethodHead {
		return nil
	}
	limit := rt.MaxBody
	if limit == 0 {
		limit = defaultBody
	}
	v.r.Body = http.MaxBytesReader(v.w, v.r.Body, limit)
	got := v.r.Header.Get("X-Token")
	if got == "" {
		if err := parseForm(v.r, limit); err != nil {
			return err
		}
		got = v.r.PostFormValue("token")
	}
	if subtle.ConstantTimeCompare([]byte(got), []byte(s.token(v.browser))) != 1 {
		return problem{http.StatusForbidden, "The page is older than the program that runs now. Go back, reload, and send it again; nothing was changed."}
	}
	return nil
}

// parseForm reads a form, of either encoding, within the size limit. A form that
// is broken is a problem of what was sent.
func parseForm(r *http.Request, limit int64) error {
	var err error
	if strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/form-data") {
		err = r.ParseMultipartForm(limit)
	} else {
		err = r.ParseForm()
	}
	var large *http.MaxBytesError
	if err == nil || errors.As(err, &large) {
		return err
	}
	return wrong("The form did not arrive whole (%v). Go back and send it again; nothing was changed.", err)
}
