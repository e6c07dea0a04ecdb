package main

import (
	"fmt"
	"strconv"
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/index"
	"faultbook/kb"
	"faultbook/kb/cases"
)

// similarEntries is how many entries are shown before a new one is made.
const similarEntries = 5

// offerSimilar shows the causes that sound like the draft. At a terminal it
// asks whether it is one of them; the case is then closed with it, and done is
// true. Finding is a help: where it fails a new entry is made without.
func offerSimilar(s streams, desk *call.Desk, d call.Draft, caseID string) (done bool, err error) {
	list := likeDraft(s, desk.Book, d)
	if len(list) == 0 {
		return false, nil
	}
	fmt.Fprintln(s.Err, "Is it one of these?")
	for i, h := range list {
		fmt.Fprintf(s.Err, "  %d  %-10s %s\n", i+1, h.ID, h.Title)
	}
	if _, ok := terminalOf(s.In); !ok {
		return false, nil
	}
	text, err := newKeyboard(s).Line("Its number, or an empty line for a new entry: ")
	if err != nil {
		return false, leave(s, nil, err)
	}
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil || n < 1 || n > len(list) {
		return false, nil
	}
	return true, settleWith(s, list[n-1].ID, caseID)
}

// settleWith closes the case with a cause that the book has already.
func settleWith(s streams, cause, caseID string) error {
	if caseID == "" {
		fmt.Fprintf(s.Out, "No new entry. `faultbook edit %s` adds to it what you know.\n", cause)
		return nil
	}
	if err := runCasesClose(s, caseID, cases.Close{Cause: cause}, false); err != nil {
		return err
	}
	fmt.Fprintf(s.Out, "No new entry. `faultbook edit %s` adds the caller's words to it.\n", cause)
	return nil
}

// likeDraft finds causes by the draft's words, those about its symptom first.
func likeDraft(s streams, book *kb.Book, d call.Draft) []index.Hit {
	words := strings.Join(append([]string{d.Title, d.Fix, d.Why}, d.Words...), " ")
	if strings.TrimSpace(words) == "" {
		return nil
	}
	idx, err := openIndex(s, book)
	if err != nil {
		return nil
	}
	defer idx.Close()
	var list []index.Hit
	seen := map[string]bool{}
	for _, symptom := range []string{d.Symptom, ""} {
		res, err := idx.Search(words, index.Options{Kinds: []string{"cause"}, Symptom: symptom, Limit: similarEntries})
		if err != nil {
			continue
		}
		for _, h := range res.Hits {
			if !seen[h.ID] && len(list) < similarEntries {
				seen[h.ID] = true
				list = append(list, h)
			}
		}
	}
	return list
}
