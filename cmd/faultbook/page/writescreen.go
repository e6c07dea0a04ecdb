package page

import (
	"net/http"
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/index"
	"faultbook/kb"
)

// writeScreen makes entries of what was found in calls.
func (s *Server) writeScreen() screen {
	return screen{Path: "/write", Label: "Write", Routes: []route{
		{Pattern: "GET /write", Do: s.writeForm},
		{Pattern: "POST /write", Do: s.write},
		{Pattern: "GET /write/answers", Do: s.writeAnswers},
	}}
}

// emptyRows is how many rows for more answers and remedies the form has.
const emptyRows = 3

// writePage is an entry in the making.
type writePage struct {
	call.Draft
	Case      string
	WordLines string
	Caller    bool // a caller can do the fix
	Symptoms  []choice
	Owners    []choice
	TellRows  []tellRow
	CureRows  []cureRow
	Questions []choice
	Cures     []choice
	Initials  string
	Findings  findingsView
	Notice    string
}

// tellRow is what one question says about the cause.
type tellRow struct {
	N                int // from 1
	Question, Title  string
	Answers, Chances []choice
}

// cureRow is a remedy of the book that cures it.
type cureRow struct {
	N       int
	Remedy  []choice
	Chances []choice
}

// findingsView says what is wrong with an entry.
type findingsView struct {
	Checked         bool
	Missing         []string
	Errors, Notices []findingRow
	Like            []item // causes of the book that sound like it
}

type findingRow struct {
	Line int
	Text string
}

// Good reports whether the entry could be saved.
func (f findingsView) Good() bool { return f.Checked && len(f.Missing)+len(f.Errors) == 0 }

func newFindings(list []kb.Finding) findingsView {
	f := findingsView{Checked: true}
	for _, x := range list {
		row := findingRow{x.Line, sentence(x.Text)}
		if x.Level == kb.LevelError {
			f.Errors = append(f.Errors, row)
		} else {
			f.Notices = append(f.Notices, row)
		}
	}
	return f
}

func (s *Server) writeForm(v *visit) error {
	page := &writePage{Case: v.value("case"), Initials: initials(v.agent)}
	if page.Case != "" {
		err := s.caseLocked(page.Case, func(o *openCall) error {
			if err := s.inBook(o); err != nil {
				return err
			}
			page.Draft = call.DraftFrom(s.desk(), o.call.File())
			return nil
		})
		if err != nil {
			return err
		}
	}
	page.fill(s.desk().Book)
	return s.render(v, "write", "Write an entry", page)
}

// initials of the name that an agent goes by.
func initials(name string) string {
	var b strings.Builder
	for _, word := range strings.Fields(name) {
		b.WriteString(strings.ToLower(string([]rune(word)[0])))
	}
	return b.String()
}

// write checks what stands in the form, or saves it.
func (s *Server) write(v *visit) error {
	page, err := s.readDraft(v)
	if err != nil {
		return err
	}
	book := s.desk().Book
	page.check(s.opt.Home, book)
	page.Findings.Like = s.like(page.Draft)
	if v.part() {
		return s.renderPart(v, http.StatusOK, "write", "findings", page.Findings)
	}
	if v.value("do") != "save" || !page.Findings.Good() {
		page.fill(book)
		status := http.StatusOK
		if v.value("do") == "save" {
			status, page.Notice = http.StatusUnprocessableEntity, "Not saved yet: something is missing or wrong."
		}
		return s.renderStatus(v, status, "write", "Write an entry", page)
	}
	saved, _, err := call.SaveEntries(s.opt.Home, book, page.Draft.Entries(book))
	if err != nil {
		return err
	}
	if err := s.changedBook(); err != nil {
		return err
	}
	return v.redirect(entryHref(string(saved[0].Kind), saved[0].ID))
}

// changedBook takes a changed entry into calls and finding at once.
func (s *Server) changedBook() error {
	if err := s.renew(); err != nil {
		return err
	}
	s.ended()
	return nil
}

// readDraft reads the form.
func (s *Server) readDraft(v *visit) (*writePage, error) {
	page := &writePage{Case: v.value("case"), Caller: v.value("caller") != "", Initials: clean(v.value("by"), 10)}
	page.Draft = call.Draft{Title: clean(v.value("title"), 120), Plain: clean(v.value("plain"), 400), Why: clean(v.value("why"), 4000),
		Symptom: v.value("symptom"), Fix: clean(v.value("fix"), 400), Who: kb.WhoTechnician, Owner: v.value("owner")}
	if page.Caller {
		page.Who = kb.WhoCaller
	}
	if page.Initials != "" {
		page.By = page.Initials + " " + s.opt.Now().UTC().Format("2006-01-02")
	}
	for line := range strings.Lines(v.value("words")) {
		if line = clean(line, 300); line != "" {
			page.Words = append(page.Words, line)
		}
	}
	if page.Case != "" {
		if _, err := s.desk().Store.Load(page.Case); err != nil {
			return nil, missing("There is no case %q.", page.Case)
		}
		page.Source = "own case " + page.Case
	}
	return page, page.readRows(v)
}

// clean makes one line of a text and bounds it.
func clean(text string, most int) string {
	text = strings.Join(strings.Fields(strings.ToValidUTF8(text, "")), " ")
	r := []rune(text)
	return string(r[:min(len(r), most)])
}

// readRows reads the answers that tell the cause and the remedies that cure it.
func (p *writePage) readRows(v *visit) error {
	form := v.r.PostForm
	if v.r.MultipartForm != nil {
		form = v.r.MultipartForm.Value
	}
	at := func(name string, i int) string {
		if list := form[name]; i < len(list) {
			return strings.TrimSpace(list[i])
		}
		return ""
	}
	for i := range form["question"] {
		q, a := at("question", i), at("answer", i)
		if q == "" || a == "drop" {
			continue
		}
		c, err := kb.ParseChance(at("likelihood", i))
		if err != nil {
			return wrong("%s", sentence(err.Error()))
		}
		p.Tells = append(p.Tells, kb.Tell{Question: q, Row: kb.Row{{Answer: a, Chance: c}}})
	}
	for i := range form["remedy"] {
		if id := at("remedy", i); id != "" {
			c, err := kb.ParseChance(at("cures", i))
			if err != nil {
				return wrong("%s", sentence(err.Error()))
			}
			p.Remedies = append(p.Remedies, kb.Cure{ID: id, Cures: c})
		}
	}
	return nil
}

// check finds what is missing and what is wrong.
func (p *writePage) check(home string, book *kb.Book) {
	p.Findings = findingsView{Checked: true}
	for _, name := range p.Missing() {
		p.Findings.Missing = append(p.Findings.Missing, missingWord(name))
	}
	for _, t := range p.Tells {
		if q := kb.Get[kb.Question](book, t.Question); q != nil && t.Row[0].Answer == "" {
			p.Findings.Missing = append(p.Findings.Missing, "the answer to “"+q.Title+"”")
		}
	}
	if len(p.Findings.Missing) > 0 {
		return
	}
	_, _, findings, err := call.CheckEntries(home, book, p.Draft.Entries(book))
	if err != nil {
		findings = []kb.Finding{{Level: kb.LevelError, Text: err.Error()}}
	}
	for i := range findings {
		findings[i].Line = 0 // nobody sees the text that the form makes
	}
	p.Findings = newFindings(findings)
}

// mostLike is how many causes are shown that a draft may be already.
const mostLike = 5

// like finds causes by the words of a draft, those under its symptom first.
// Where finding fails an entry is written without.
func (s *Server) like(d call.Draft) []item {
	words := cleanQuery(strings.Join(append([]string{d.Title, d.Fix, d.Why}, d.Words...), " "))
	if words == "" || s.opt.Find == nil {
		return nil
	}
	var list []item
	seen := map[string]bool{}
	for _, symptom := range []string{d.Symptom, ""} {
		res, err := s.opt.Find(words, index.Options{Kinds: []string{"cause"}, Symptom: symptom, Limit: mostLike})
		if err != nil {
			return list
		}
		for _, h := range res.Hits {
			if !seen[h.ID] && len(list) < mostLike {
				seen[h.ID] = true
				list = append(list, item{ID: h.ID, Text: h.Title, Href: entryHref("cause", h.ID)})
			}
		}
	}
	return list
}

func missingWord(name string) string {
	switch name {
	case "title":
		return "a title"
	case "symptom":
		return "the symptom that it shows as"
	case "why":
		return "why it happens"
	}
	return "what cures it: a remedy of the book, or in words"
}

// fill adds what the form offers.
func (p *writePage) fill(book *kb.Book) {
	p.WordLines = strings.Join(p.Words, "\n")
	p.Symptoms = entryChoices(book, kb.KindSymptom, p.Symptom, "Choose")
	owner := p.Owner
	if owner == "" {
		owner = "visit"
	}
	p.Owners = entryChoices(book, kb.KindHandover, owner, "")
	p.Questions = entryChoices(book, kb.KindQuestion, "", "")
	for i := range len(p.Tells) + emptyRows {
		row := tellRow{N: i + 1, Chances: chanceChoices(.8)}
		if i < len(p.Tells) {
			t := p.Tells[i]
			row.Question, row.Title, row.Answers = t.Question, t.Question, answerChoices(book, t.Question, t.Row[0].Answer)
			row.Chances = chanceChoices(t.Row[0].Chance)
			if q := kb.Get[kb.Question](book, t.Question); q != nil {
				row.Title = q.Title
			}
		}
		p.TellRows = append(p.TellRows, row)
	}
	for i := range len(p.Remedies) + 1 {
		row := cureRow{N: i + 1, Remedy: entryChoices(book, kb.KindRemedy, "", "None"), Chances: chanceChoices(.8)}
		if i < len(p.Remedies) {
			row.Remedy = entryChoices(book, kb.KindRemedy, p.Remedies[i].ID, "None")
			row.Chances = chanceChoices(p.Remedies[i].CureChance())
		}
		p.CureRows = append(p.CureRows, row)
	}
}

// entryChoices lists the entries of a kind; none, if not empty, comes first.
func entryChoices(book *kb.Book, kind kb.Kind, picked, none string) []choice {
	var list []choice
	if none != "" {
		list = append(list, choice{"", none, picked == ""})
	}
	for _, id := range book.IDs(kind) {
		title := kb.HeadOf(findEntry(book, kind, id)).Title
		if kind == kb.KindSymptom {
			title = id + " " + title
		}
		list = append(list, choice{id, title, id == picked})
	}
	return list
}

// answerChoices lists the answers of a question, and a way to drop the row.
func answerChoices(book *kb.Book, question, picked string) []choice {
	q := kb.Get[kb.Question](book, question)
	if q == nil {
		return nil
	}
	list := []choice{{"", "Choose", picked == ""}}
	for _, a := range q.Answers {
		list = append(list, choice{a.Value, a.Say, a.Value == picked})
	}
	return append(list, choice{"drop", "Leave this row out", false})
}

// chanceChoices are the words of the scale, and the number where it is none of
// them.
func chanceChoices(picked kb.Chance) []choice {
	var list []choice
	found := false
	for _, word := range []string{"always", "nearly always", "usually", "often", "as often as not", "sometimes", "seldom", "hardly ever", "never"} {
		list = append(list, choice{word, word, word == picked.String()})
		found = found || word == picked.String()
	}
	if !found {
		list = append(list, choice{picked.String(), likelihoodText(picked), true})
	}
	return list
}

// writeAnswers gives the answers of a question, for a row of the form.
func (s *Server) writeAnswers(v *visit) error {
	list := answerChoices(s.desk().Book, v.value("question"), "")
	if list == nil {
		return missing("There is no question %q.", v.value("question"))
	}
	return s.renderPart(v, http.StatusOK, "write", "answers", list)
}
