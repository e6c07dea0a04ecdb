package kb

import (
	"regexp"
	"sync"
)

// pattern is a regular expression that is compiled when it is first used: those
// of the safety rules cost more than the rest of the package at every start, and
// only a check of entries needs them. One that does not compile panics then; the
// test of the book uses all.
type pattern struct{ compiled func() *regexp.Regexp }

func lazily(text string) pattern {
	return pattern{sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(text) })}
}

func (p pattern) MatchString(s string) bool { return p.compiled().MatchString(s) }

func (p pattern) FindStringIndex(s string) []int { return p.compiled().FindStringIndex(s) }

func (p pattern) FindStringSubmatchIndex(s string) []int {
	return p.compiled().FindStringSubmatchIndex(s)
}
