package synthetic

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"time"

	"faultbook/kb"
	"faultbook/kb/cases"
)

// Generator makes calls up.
type Generator struct {
	book     *kb.Book
	seed     uint64
	n        int
	symptoms []*kb.Symptom
	priors   map[string][]kb.Weighted
}

// New makes a generator of n calls about the symptoms of a book, spread over
// eight years.
func New(book *kb.Book, seed uint64, n int) *Generator {
	g := &Generator{book: book, seed: seed, n: n, symptoms: kb.All[kb.Symptom](book), priors: map[string][]kb.Weighted{}}
	for _, y := range g.symptoms {
		g.priors[y.ID] = kb.Priors(book, y.ID, nil)
	}
	return g
}

// years is the time over which the calls are spread.
const years = 8 * 365 * 24 * time.Hour

// ID is the id of call i; ids are in the order of their numbers.
func (g *Generator) ID(i int) string {
	return g.opened(i).Format("20060102-150405") + "-" + letters(i)
}

func (g *Generator) opened(i int) time.Time {
	start := time.Date(2018, 3, 5, 8, 0, 0, 0, time.UTC)
	return start.Add(time.Duration(i) * (years / time.Duration(max(g.n, 1)))).Truncate(time.Second)
}

// letters makes ids of one second differ, in order.
func letters(i int) string {
	const alphabet = "bcdfghjkmnpqrstvwxz"
	out := make([]byte, 6)
	for k := len(out) - 1; k >= 0; k-- {
		out[k] = alphabet[i%len(alphabet)]
		i /= len(alphabet)
	}
	return string(out)
}

// maker makes one call.
type maker struct {
	*Generator
	dice *rand.Rand
	at   time.Time
	c    *cases.Case
}

func (g *Generator) maker(i int) *maker {
	at := g.opened(i)
	return &maker{g, rand.New(rand.NewPCG(g.seed, uint64(i))), at,
		&cases.Case{Header: cases.Header{Version: cases.Version, ID: g.ID(i), Opened: at}}}
}

// Case makes call i, from 0 to n-1.
func (g *Generator) Case(i int) *cases.Case {
	m := g.maker(i)
	y := g.symptoms[m.skewed(len(g.symptoms))]
	m.add(cases.Event{Say: m.said(y)})
	if m.dice.IntN(2) == 0 {
		m.add(cases.Event{Symptom: y.ID})
	}
	m.add(cases.Event{Room: m.room()})
	cause := kb.Get[kb.Cause](g.book, m.draw(g.priors[y.ID]))
	if cause == nil {
		m.add(cases.Event{Handover: "visit"})
		m.add(cases.Event{Close: &cases.Close{Note: m.notes(60)}})
		return m.c
	}
	m.answers(cause)
	if m.dice.IntN(3) > 0 && len(cause.Remedies) > 0 {
		m.add(cases.Event{Tried: &cases.Tried{Remedy: cause.Remedies[0].ID, Result: cases.Cured}})
	} else {
		m.add(cases.Event{Handover: "visit"})
	}
	m.add(cases.Event{Close: &cases.Close{Cause: cause.ID, Note: m.notes(15 + m.dice.IntN(35))}})
	return m.c
}

func (m *maker) add(e cases.Event) {
	m.at = m.at.Add(time.Duration(20+m.dice.IntN(60)) * time.Second).Truncate(time.Second)
	e.At = m.at
	m.c.Events = append(m.c.Events, e)
}

// skewed draws a number below n, small ones far more often, as words and
// devices are used.
func (m *maker) skewed(n int) int {
	x := m.dice.Float64()
	return int(x * x * float64(n))
}

func (m *maker) draw(list []kb.Weighted) string {
	x := m.dice.Float64()
	for _, w := range list {
		if x -= w.Chance; x < 0 {
			return w.ID
		}
	}
	return list[len(list)-1].ID
}

// said puts what a caller may say about a symptom together, with a slip of the
// keyboard now and then.
func (m *maker) said(y *kb.Symptom) string {
	words := y.Words[m.dice.IntN(len(y.Words))]
	if m.dice.IntN(3) == 0 {
		words += ", " + y.Words[m.dice.IntN(len(y.Words))]
	}
	words += " " + pick(m, situations)
	if m.dice.IntN(4) == 0 {
		words = Slip(words, m.dice)
	}
	return words
}

// answers gives some answers by the rows of the cause.
func (m *maker) answers(c *kb.Cause) {
	for _, i := range m.dice.Perm(len(c.Tells))[:min(3, len(c.Tells))] {
		q := kb.Get[kb.Question](m.book, c.Tells[i].Question)
		row, x := q.FullRow(c.Tells[i].Row), m.dice.Float64()
		for a, p := range row {
			if x -= p; x < 0 || a == len(row)-1 {
				m.add(cases.Event{Answer: &cases.Answer{Question: q.ID, Value: q.Answers[a].Value}})
				break
			}
		}
	}
}

// room is one of some hundred.
func (m *maker) room() string {
	return fmt.Sprintf("%s-%d.%02d", pick(m, sites), 1+m.dice.IntN(6), 1+m.dice.IntN(12))
}

// notes makes an agent's note of about so many words.
func (m *maker) notes(words int) string {
	var list []string
	for n := 0; n < words; {
		s := m.sentence()
		n += len(strings.Fields(s))
		list = append(list, s)
	}
	return strings.Join(list, " ")
}

func pick(m *maker, list []string) string { return list[m.skewed(len(list))] }

// sentence fills one pattern in.
func (m *maker) sentence() string {
	var b strings.Builder
	for _, w := range strings.Fields(pick(m, patterns)) {
		if b.Len() > 0 {
			b.WriteByte(' ')
		}
		key, tail := w, ""
		if i := strings.IndexAny(w, ".,"); i > 0 {
			key, tail = w[:i], w[i:]
		}
		b.WriteString(m.slot(key) + tail)
	}
	return b.String()
}

func (m *maker) slot(key string) string {
	switch key {
	case "DEVICE":
		return pick(m, devices)
	case "PORT":
		return pick(m, ports)
	case "DONE":
		return pick(m, deeds)
	case "SEEN":
		return pick(m, sights)
	case "FIGURE":
		return fmt.Sprintf(pick(m, figures), 1+m.dice.IntN(95))
	case "ASSET":
		return fmt.Sprintf("%c%c-%05d", 'A'+m.dice.IntN(26), 'A'+m.dice.IntN(26), m.dice.IntN(100000))
	case "ADDRESS":
		return fmt.Sprintf("10.%d.%d.%d", m.dice.IntN(32), m.dice.IntN(255), 1+m.dice.IntN(253))
	case "COLOUR":
		return pick(m, colours)
	case "TIME":
		return fmt.Sprintf("%02d:%02d", 7+m.dice.IntN(12), m.dice.IntN(60))
	}
	return key
}

// Slip makes one slip of the keyboard in one of the longer words: a letter left
// out, doubled, swapped with the next or changed.
func Slip(text string, dice *rand.Rand) string {
	words := strings.Fields(text)
	var long []int
	for i, w := range words {
		if len(w) >= 6 && strings.Trim(w, "abcdefghijklmnopqrstuvwxyz") == "" {
			long = append(long, i)
		}
	}
	if len(long) == 0 {
		return text
	}
	i := long[dice.IntN(len(long))]
	w := []byte(words[i])
	at := 1 + dice.IntN(len(w)-3)
	switch dice.IntN(4) {
	case 0:
		w = append(w[:at], w[at+1:]...)
	case 1:
		w = append(w[:at+1], w[at:]...)
	case 2:
		w[at], w[at+1] = w[at+1], w[at]
	default:
		w[at] = 'a' + byte(dice.IntN(26))
	}
	words[i] = string(w)
	return strings.Join(words, " ")
}
