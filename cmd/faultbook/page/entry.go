package page

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"net/http"
	"strings"
)

// NewKey makes a key of about 76 random bits in groups that can be read out.
func NewKey() string {
	const alphabet = "bcdfghjkmnpqrstvwxz23456789"
	raw := make([]byte, 16)
	rand.Read(raw) // never fails
	var b strings.Builder
	for i, x := range raw {
		if i > 0 && i%4 == 0 {
			b.WriteByte('-')
		}
		b.WriteByte(alphabet[int(x)%len(alphabet)])
	}
	return b.String()
}

func (s *Server) entryScreen() screen {
	return screen{Routes: []route{
		{Pattern: "GET /enter", Do: s.entry, Open: true},
		{Pattern: "POST /enter", Do: s.enter, Open: true},
	}}
}

// hasKey reports whether the browser has shown the key, or needs none.
func (s *Server) hasKey(r *http.Request) bool {
	if s.opt.Key == "" {
		return true
	}
	c, err := r.Cookie(keyCookie)
	return err == nil && subtle.ConstantTimeCompare([]byte(c.Value), []byte(s.keyProof())) == 1
}

// keyProof is what a browser keeps instead of the key itself.
func (s *Server) keyProof() string {
	m := hmac.New(sha256.New, s.secret)
	m.Write([]byte("key " + s.opt.Key))
	return base64.RawURLEncoding.EncodeToString(m.Sum(nil))
}

// entry asks for the key.
func (s *Server) entry(v *visit) error {
	return s.renderStatus(v, http.StatusUnauthorized, "enter", "Key", nil)
}

// enter takes the key. Tries are counted by address: a browser can drop its
// session, not its address.
func (s *Server) enter(v *visit) error {
	if !s.entries.allow(address(v.r)) {
		return problem{http.StatusTooManyRequests, "Too many tries. Wait a minute and try again."}
	}
	given := strings.ToLower(strings.TrimSpace(v.value("key")))
	if s.opt.Key == "" || subtle.ConstantTimeCompare([]byte(given), []byte(s.opt.Key)) != 1 {
		return s.renderStatus(v, http.StatusUnauthorized, "enter", "Key", "That is not the key. It stands where faultbook serve was started.")
	}
	setCookie(v.w, keyCookie, s.keyProof())
	return v.redirect("/")
}
