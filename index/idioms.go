package index

import (
	"maps"
	"slices"
	"strings"

	"faultbook/kb"
)

// Some words mean something else together than each by itself: a board room is
// no board, a meeting on fire does not burn, and what happens time and again
// happens repeatedly. They are put in plain words before anything else is read.
// What remains is counted as words said, so that distances stay as they were.

// idiom is a run of small-letter words and the word that says it plainly;
// empty where it names nothing that matters here.
type idiom struct {
	words []string
	plain string
}

// idioms are filed under their first word, the longest first.
type idioms map[string][]idiom

// english is ordinary English; what is a word of the trade comes from the book.
// It is only read.
var english = newIdioms(map[string]string{
	"repeatedly": "again and again, over and over, time and again, time after time, every so often, every now and then, " +
		"every now and again, now and then, now and again, once in a while, from time to time, off and on, on and off, in and out, " +
		"on off on off, off on off on, all the time, the whole time, every few seconds, every couple of seconds, every few minutes",
	"itself": "by itself, by themselves, on its own, on their own, of its own accord, of their own accord, all by itself, " +
		"by its own, out of the blue",
	"suddenly":       "all of a sudden, out of nowhere, all at once",
	"everything":     "the whole lot, the lot of it, the entire room, the whole room, the whole table, everything in here, everything in the room, all of it",
	"understand":     "make out, makes out, make it out, make us out, make them out, make me out, make sense of, makes sense of, figure out, figured out",
	"understand how": "work out how, worked out how",
	"participants": "people at home, people on the line, people in the call, ones at home, ones online, ones on the call, folks at home, " +
		"guys at home, people joining from home, people dialled in, ones dialled in, people dialling in, people who dialled in, " +
		"other office, other town, other city, other location, other place, other country, other building, far side, opposite side, other party, " +
		"distant end, remote end, remote people, remote folks, remote ones, remote colleagues, remote team, remote office, " +
		"people remotely, everyone online, everybody online, everyone remote, everybody remote, everyone on the call, everyone at home",
	"work":      "play ball, play along, play nice, play nicely, do its job, do their job, do what it should, behave, cooperate",
	"hotdesk":   "hot desk, hot desks, hot desking",
	"shortcut":  "hot key, hot keys",
	"urgent":    "hot topic, hot topics, hot issue, hot seat, burning question, burning questions, burning issue",
	"replug":    "hot plug, hot plugging, hot plugged, hot swap",
	"wifi":      "hot spot, hot spots",
	"ghost":     "burn in, burnt in logo, burned in logo, burnt in image",
	"detector":  "smoke detector, smoke detectors, smoke alarm, fire alarm, fire alarms, fire drill",
	"door":      "fire door, fire doors, fire exit, fire escape",
	"pause":     "coffee break, coffee breaks, tea break, coffee pause",
	"machine":   "coffee machine, coffee maker, tea kitchen, water cooler, water dispenser, water fountain",
	"excited":   "meeting is on fire, team is on fire, audience is on fire, everybody is on fire, we are on fire, meeting's on fire",
	"cleaned":   "wet wipe, wet wiped, wet wipes, wiped with a damp cloth, wipe with a damp cloth",
	"sweating":  "dripping with sweat, soaked in sweat, wet through with sweat, sweating buckets",
	"won":       "smoked the competition, smoked the others, smoked them, smoked everybody, smoked everyone",
	"badly":     "shocking quality, shocking sound, shocking picture",
	"dazzled":   "blinded by, blinds me, blinds us, blinds you, blinds him, blinds her, blinding me, blinding us, blinded me, blinded us, blinded him, blinded her, blinded my",
	"angry":     "boss is fuming, everybody is fuming, everyone is fuming, director is fuming, client is fuming, he is fuming, she is fuming, i am fuming, they are fuming, people are fuming",
	"surprised": "shocked how, shocked at how, shocked that, shocked by how, shocked to see, in shock",
	"": "board room, board rooms, bord room, meeting room, meeting rooms, conference room, conference rooms, training room, " +
		"seminar room, class room, lecture room, lecture hall, lecture theatre, big hall, main hall, town hall, huddle room, huddle space, " +
		"committee room, video room, project room, press room, council chamber, " +
		"driving me mad, driving us mad, driving me crazy, driving us crazy, driving me nuts, driving me up the wall, driving us up the wall, " +
		"for heaven's sake, for goodness sake, thank goodness, my goodness, good grief, oh dear, oh no, excuse me, " +
		"as far as i can tell, as far as i know, to be honest, to tell the truth, in a hurry, in a rush, at the moment, right now, " +
		"how to say this, how to say it, how to explain this, how to explain it, how to describe it, how to put it, how to put this, " +
		"walking in now, standing here, sat here, sitting here, stood here, waiting here, on the phone",
})

// newIdioms files lists of idioms, parted by commas, under the plain words that
// they mean.
func newIdioms(lists map[string]string) idioms {
	m := idioms{}
	for plain, list := range lists {
		for _, text := range strings.Split(list, ", ") {
			words := strings.Fields(text)
			m[words[0]] = append(m[words[0]], idiom{words, plain})
		}
	}
	return m
}

// isSpoken reports whether a member of a group can only be heard word by word:
// "thing on the ceiling" is a projector, but what is left of it without its
// small words, "ceiling", is none.
func isSpoken(member string) bool {
	tokens := lex(member)
	return strings.Contains(member, " ") && len(tokens) < 2 && (len(tokens) == 0 || tokens[0].mood != denied)
}

// spokenMembers makes idioms of such members, beside those of the language. What
// they mean is the first member of the group that is one word.
func spokenMembers(book *kb.Book) idioms {
	m := maps.Clone(english)
	for _, w := range kb.All[kb.Words](book) {
		plain := ""
		for _, same := range w.Same {
			if plain == "" && !strings.Contains(same, " ") {
				plain = same
			}
		}
		for _, same := range w.Same {
			if words := strings.Fields(same); plain != "" && isSpoken(same) {
				m[words[0]] = append(slices.Clip(m[words[0]]), idiom{words, plain})
			}
		}
	}
	return m
}

// put replaces the idioms in some words; words is used again.
func (m idioms) put(words []raw) []raw {
	if len(m) == 0 {
		return words
	}
	out := words[:0]
	for i := 0; i < len(words); {
		it, ok := m.at(words[i:])
		if !ok {
			out = append(out, words[i])
			i++
			continue
		}
		n := len(it.words)
		out = appendPlain(out, words[i:i+n], it.plain)
		i += n
	}
	return out
}

// at finds the longest idiom that begins here.
func (m idioms) at(words []raw) (best idiom, ok bool) {
	for _, it := range m[words[0].text] {
		if len(it.words) > len(best.words) && it.stands(words) {
			best, ok = it, true
		}
	}
	return best, ok
}

func (it idiom) stands(words []raw) bool {
	if len(words) < len(it.words) {
		return false
	}
	for i, w := range it.words {
		if words[i].mark != 0 || words[i].text != w {
			return false
		}
	}
	return true
}

// appendPlain appends the plain words for an idiom and says of each of its other
// words that it names nothing.
func appendPlain(out, said []raw, plain string) []raw {
	whole := said[0]
	whole.to = said[len(said)-1].to
	words := strings.Fields(plain)
	n := len(said)
	for _, text := range words {
		w := whole
		w.text = text
		out = append(out, w)
	}
	for k := len(words); k < n; k++ {
		out = append(out, raw{text: "it", from: whole.from, to: whole.to})
	}
	return out
}
