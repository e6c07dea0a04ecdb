package page

import (
	"bytes"
	"embed"
	"faultbook/cmd/faultbook/call"
	"fmt"
	"html/template"
	"io/fs"
	"math"
	"net/http"
	"path"
	"strconv"
	"strings"
)

//go:embed templates/*.html
var templateFiles embed.FS

// frame is what every template gets; Data is the page's own.
type frame struct {
	Title string
	Nav   []navItem
	// Token goes into every form that changes something: {{template "token" $}}.
	Token string
	Agent string
	// Body names the kind of page for the style sheet.
	Body string
	Data any
}

type navItem struct {
	Path, Label string
	Here        bool
}

// parsePages reads layout.html and, with it, every other template. Templates
// whose names begin with an underscore are parts that all pages may use.
func parsePages() (map[string]*template.Template, error) {
	names, err := fs.Glob(templateFiles, "templates/*.html")
	if err != nil {
		return nil, err
	}
	base := template.New("layout.html").Funcs(helpers())
	for _, n := range names {
		if file := path.Base(n); file == "layout.html" || strings.HasPrefix(file, "_") {
			if base, err = base.ParseFS(templateFiles, n); err != nil {
				return nil, err
			}
		}
	}
	pages := map[string]*template.Template{}
	for _, n := range names {
		file := path.Base(n)
		if file == "layout.html" || strings.HasPrefix(file, "_") {
			continue
		}
		t, err := base.Clone()
		if err != nil {
			return nil, err
		}
		if t, err = t.ParseFS(templateFiles, n); err != nil {
			return nil, err
		}
		pages[strings.TrimSuffix(file, ".html")] = t
	}
	return pages, nil
}

// helpers are the functions of the templates.
func helpers() template.FuncMap {
	return template.FuncMap{
		"asset":   assetPath,
		"percent": call.Percent,
		"width":   func(p float64) string { return fmt.Sprintf("%.1f%%", 100*min(1, max(0, p))) },
		"minutes": minutesText,
		"exact":   func(minutes float64) string { return strconv.FormatFloat(minutes, 'f', 2, 64) },
		"whole":   func(minutes float64) string { return strconv.FormatFloat(minutes, 'f', 0, 64) },
		"place":   atPlace,
		"inc":     func(n int) int { return n + 1 },
	}
}

// minutesText is minutes for people: no false precision.
func minutesText(m float64) string {
	switch n := math.Round(m); {
	case m > 0 && m < 1:
		return "under 1 min"
	default:
		return fmt.Sprintf("%.0f min", n)
	}
}

// atPlace says where a step is done.
func atPlace(place string) string {
	switch place {
	case "":
		return ""
	case "network closet":
		return "in the network closet"
	}
	return "at the " + place
}

// render writes a whole page.
func (s *Server) render(v *visit, page, title string, data any) error {
	return s.renderStatus(v, http.StatusOK, page, title, data)
}

func (s *Server) renderStatus(v *visit, status int, page, title string, data any) error {
	return s.execute(v, status, page, "layout.html", title, data)
}

// renderPart writes one named part of a page, for a script that puts it in
// place.
func (s *Server) renderPart(v *visit, status int, page, part string, data any) error {
	return s.execute(v, status, page, part, "", data)
}

func (s *Server) execute(v *visit, status int, page, name, title string, data any) error {
	t := s.pages[page]
	if t == nil {
		return fmt.Errorf("there is no template %q", page)
	}
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, name, s.frame(v, page, title, data)); err != nil {
		return fmt.Errorf("make the page: %w", err)
	}
	v.w.Header().Set("Content-Type", "text/html; charset=utf-8")
	v.w.WriteHeader(status)
	b.WriteTo(v.w) // a browser that went away needs no answer
	return nil
}

func (s *Server) frame(v *visit, page, title string, data any) frame {
	f := frame{Title: title, Token: s.token(v.browser), Agent: v.agent, Body: page, Data: data}
	for _, sc := range s.screens {
		if sc.Label != "" {
			here := v.r.URL.Path == sc.Path || strings.HasPrefix(v.r.URL.Path, sc.Path+"/") && sc.Path != "/"
			f.Nav = append(f.Nav, navItem{sc.Path, sc.Label, here})
		}
	}
	return f
}
