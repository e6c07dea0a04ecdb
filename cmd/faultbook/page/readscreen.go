package page

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"path/filepath"
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/diagnose/measure/reading"
	"faultbook/kb"
)

// mostEvidence is the largest evidence file that a browser may send, in bytes.
const mostEvidence = 2 << 20

// readScreen reads evidence files that are chosen, dropped or pasted.
func (s *Server) readScreen() screen {
	return screen{Path: "/read", Label: "Read a file", Routes: []route{
		{Pattern: "GET /read", Do: s.readForm},
		{Pattern: "POST /read", Do: s.read, MaxBody: mostEvidence},
	}}
}

// readPage is the form with what was found in a file.
type readPage struct {
	Calls    []choice
	Part     string
	Text     string
	File     string
	Notice   string
	Readings []readingView
}

// readingView is what was found in one part of a file.
type readingView struct {
	Kind, Part string
	Rows       []reading.Row
	Remarks    []remarkView
	Facts      []factView
	Answers    []item // what a call would take over
	Decoded    string
}

type remarkView struct{ Text, Value, Words string }

type factView struct{ Name, Value, Text string }

func (s *Server) readForm(v *visit) error {
	return s.render(v, "read", "Read a file", &readPage{Calls: s.callChoices(v)})
}

// read shows what a file says, or takes it into an open call.
func (s *Server) read(v *visit) error {
	page := &readPage{Calls: s.callChoices(v), Part: strings.TrimSpace(v.value("part")), Text: v.value("text")}
	data, err := page.sent(v)
	if err != nil {
		return err
	}
	if len(data) == 0 {
		page.Notice = "Choose a file, drop one on the page, or paste its text."
		return s.renderStatus(v, http.StatusUnprocessableEntity, "read", "Read a file", page)
	}
	if id := v.value("case"); id != "" {
		if done, err := s.attachFile(v, page, id, data); done || err != nil {
			return err
		}
	}
	readings, bad := reading.Read(data)
	for _, r := range readings {
		page.Readings = append(page.Readings, newReadingView(s.desk().Book, r))
	}
	status := http.StatusOK
	if bad != nil && page.Notice == "" {
		page.Notice = sentence(strings.ReplaceAll(bad.Error(), "\n", "; "))
	}
	if len(readings) == 0 || page.Notice != "" {
		status = http.StatusUnprocessableEntity
	}
	return s.renderStatus(v, status, "read", "Read a file", page)
}

// sent gives the content of the file, or the text that was pasted.
func (p *readPage) sent(v *visit) ([]byte, error) {
	p.File = "pasted text"
	file, head, err := v.r.FormFile("file")
	if err == nil {
		defer file.Close()
		if head.Size > 0 {
			p.File = filepath.Base(strings.ReplaceAll(head.Filename, `\`, "/"))
			return io.ReadAll(file)
		}
	} else if !errors.Is(err, http.ErrMissingFile) && !errors.Is(err, http.ErrNotMultipart) {
		return nil, fmt.Errorf("read the file: %w", err)
	}
	return []byte(p.Text), nil
}

// attachFile takes the file into a call. Where that cannot be, the notice says
// why and the file is shown all the same.
func (s *Server) attachFile(v *visit, page *readPage, id string, data []byte) (done bool, err error) {
	err = s.caseLocked(id, func(o *openCall) error {
		return o.attach(v, page.File, page.Part, data)
	})
	var p problem
	if errors.As(err, &p) {
		page.Notice = p.text
		return false, nil
	}
	if err != nil {
		return false, err
	}
	return true, v.redirect("/call/" + id)
}

// attach takes an evidence file into the call. The lock is held.
func (o *openCall) attach(v *visit, name, part string, data []byte) error {
	if o.holder != "" && o.holder != v.browser {
		return problem{http.StatusConflict, fmt.Sprintf("%s has this call now. Take it over to add to it.", o.holderName())}
	}
	out, err := o.call.Attach(name, part, data)
	if err != nil {
		return problem{http.StatusUnprocessableEntity, sentence(err.Error())}
	}
	o.state, o.stateAt = out, o.version()
	o.look()
	o.take(v)
	return nil
}

// kindWords says what kind of evidence it is.
func kindWords(k reading.Kind) string {
	switch k {
	case reading.KindEDID:
		return "What a display says of itself (EDID)"
	case reading.KindUSB:
		return "USB devices"
	case reading.KindEthtool:
		return "Network port"
	case reading.KindIP:
		return "Network addresses"
	case reading.KindPing:
		return "Answers to ping"
	case reading.KindPoE:
		return "Power over Ethernet, by port"
	case reading.KindSerial:
		return "Bytes of a serial line"
	}
	return string(k)
}

func newReadingView(book *kb.Book, r reading.Reading) readingView {
	view := readingView{Kind: kindWords(r.Kind), Part: r.Part, Rows: r.Summary, Answers: answered(book, r.Facts)}
	for _, m := range r.Remarks {
		view.Remarks = append(view.Remarks, remarkView{m.Text, m.CheckValue, m.Words})
	}
	for _, f := range r.Facts {
		value := fmt.Sprint(f.Value)
		if f.Unit != "" {
			value += " " + f.Unit
		}
		view.Facts = append(view.Facts, factView{f.Name, value, f.Text})
	}
	if data, err := json.MarshalIndent(r.Decoded, "", "  "); err == nil {
		const most = 60 << 10
		view.Decoded = strings.ToValidUTF8(string(data[:min(len(data), most)]), "")
	}
	return view
}

// answered lists the questions of the book that facts answer. It is what a call
// would take over.
func answered(book *kb.Book, facts []reading.Fact) []item {
	values := map[string]string{}
	for _, f := range facts {
		values[f.Name] = call.FactValue(f.Value)
	}
	var list []item
	for _, q := range kb.All[kb.Question](book) {
		if value, _, ok := q.Answered(values); ok {
			list = append(list, item{Text: q.Title, Href: entryHref("question", q.ID), Note: q.AnswerLabel(value)})
		}
	}
	return list
}
