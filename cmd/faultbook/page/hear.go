package page

import (
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
)

// mostHeard is the longest text that is listened to while somebody types.
const mostHeard = 4000

// heardPage is what words sound like, before they are sent.
type heardPage struct {
	Symptoms []call.Chance
	Facts    []call.Suggested
	Similar  []call.Similar
	Empty    bool
}

// hear shows what words sound like while they are typed. It changes nothing.
// In a call, the words before count too.
func (s *Server) hear(v *visit) error {
	text := strings.TrimSpace(strings.ToValidUTF8(v.value("text"), ""))
	text = strings.ToValidUTF8(text[:min(len(text), mostHeard)], "")
	page := heardPage{Empty: text == ""}
	if text != "" {
		if id := v.value("case"); id != "" {
			text = s.said(id) + text
		}
		s.listen(text, &page)
	}
	return s.renderPart(v, 200, "newcall", "heard", page)
}

// said are the words of a call so far.
func (s *Server) said(id string) string {
	o, err := s.calls.get(id)
	if err != nil {
		return ""
	}
	o.mutex.Lock()
	defer o.mutex.Unlock()
	text := ""
	for _, e := range o.call.File().Effective() {
		if e.Say != "" {
			text += e.Say + ". "
		}
	}
	return text
}

func (s *Server) listen(text string, page *heardPage) {
	book := s.desk().Book
	heard := s.desk().Listen(text)
	for _, h := range heard.Symptoms[:min(4, len(heard.Symptoms))] {
		if e := kb.Get[kb.Symptom](book, h.ID); e != nil {
			page.Symptoms = append(page.Symptoms, call.Chance{ID: h.ID, Title: e.Title, Chance: h.Chance})
		}
	}
	for _, f := range heard.Facts {
		if q := kb.Get[kb.Question](book, f.Question); q != nil && q.Has(f.Value) {
			page.Facts = append(page.Facts, call.Suggested{Question: f.Question, Title: q.Title, Value: f.Value,
				Label: q.AnswerLabel(f.Value), Words: strings.Join(f.Words, " ")})
		}
	}
	if s.desk().Similar != nil {
		page.Similar = s.desk().Similar(text)
	}
}
