package page

import (
	"html"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"faultbook/diagnose/measure/sums"
)

var linkForm = regexp.MustCompile(`(?:href|src|action)="(/[^"#]*)`)

// TestLinksLeadSomewhere follows every link of every screen, and of every sum
// with its example, once.
func TestLinksLeadSomewhere(t *testing.T) {
	s, ids := withCases(t)
	a := (&testPage{Server: s.page, web: s.Server, home: s.home}).agent(t)
	from := map[string]string{}
	pages := screens(ids)
	delete(pages, "missing")
	for _, sum := range sums.All() {
		pages["sum "+sum.Name] = exampleHref(sum)
	}
	for name, path := range pages {
		a.get(path).wants(http.StatusOK)
		for _, m := range linkForm.FindAllStringSubmatch(a.body, -1) {
			to := html.UnescapeString(m[1])
			// Trees take a second each to plan; forms that change something are not links.
			if post := strings.Contains(m[0], "action"); !post && !(strings.HasPrefix(to, "/tree/") && !strings.HasPrefix(to, "/tree/F-18")) {
				from[to] = name
			}
		}
	}
	if len(from) < 500 {
		t.Errorf("only %d links", len(from))
	}
	for to, name := range from {
		if a.get(to); a.code >= 400 {
			t.Errorf("%s, on %s: %d", to, name, a.code)
		}
	}
}
