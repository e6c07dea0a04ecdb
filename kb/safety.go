package kb

import (
	"fmt"
	"slices"
	"strings"
)

// The safety checks look at what an entry tells people to do:
//
//   - dangerous-advice (an error): a caller is told to do what no caller may
//     do, see perils
//   - missing-caution: a remedy speaks of a hazard and does not carry its
//     caution
//   - few-danger-words: a stop rule that is hardly ever heard
//
// They know words, not meanings: they find what somebody wrote without
// thinking, and do not replace a reader.

// leastDangerWords is how many phrasings a danger needs, so that it is heard
// when a caller mentions it by the way.
const leastDangerWords = 10

// safety reports dangers in an entry.
func (c *checker) safety(e Entry) {
	if !c.fresh(e) {
		return
	}
	for _, p := range told(e) {
		if what, why := dangerIn(p.text, p.as); what != "" {
			c.fail("dangerous-advice", fmt.Sprintf("%q: %s", what, why), p.path...)
		}
	}
	switch e := e.(type) {
	case *Remedy:
		c.hazards(e)
	case *Rule:
		c.dangerWords(e)
	}
}

// told lists what a caller is told to do or to look at; the name of a cause or
// of an answer tells nobody to do anything.
func told(e Entry) []passage {
	switch e := e.(type) {
	case *Cause:
		return nil
	case *Question:
		if e.Who != WhoCaller {
			return nil
		}
	}
	return slices.DeleteFunc(heard(e), func(p passage) bool { return p.as == label })
}

// hazards reports cautions whose hazard words stand in a remedy, whoever does
// it, and that it does not carry.
func (c *checker) hazards(r *Remedy) {
	text := strings.Join(append([]string{r.Title, r.Say, r.Check, r.Undo, r.Technical}, r.Steps...), " . ")
	for _, found := range c.hazardWords().in(text) {
		if !slices.Contains(r.Cautions, found.instead) {
			c.warn("missing-caution", fmt.Sprintf("speaks of %q: add the caution %s", found.word, found.instead), "cautions")
		}
	}
}

// hazardWords are those of all cautions, with the caution's id.
func (c *checker) hazardWords() wordlist {
	if c.hazardList == nil {
		c.hazardList = wordlist{}
		for _, caution := range All[Caution](c.book) {
			c.hazardList.add(strings.Join(caution.Hazard, ","), caution.ID)
		}
	}
	return c.hazardList
}

// dangerWords reports the answers that trigger a stop and have few phrasings.
func (c *checker) dangerWords(r *Rule) {
	if r.Stop == nil {
		return
	}
	for _, f := range r.When {
		q := Get[Question](c.book, f.Question)
		for _, v := range f.Is {
			if q == nil || q.answer(v) < 0 {
				continue
			}
			if n := len(q.Answers[q.answer(v)].Words); n < leastDangerWords {
				c.warn("few-danger-words", fmt.Sprintf("the answer %s of %s has %d phrasings, %d are wanted so that the danger is heard", v, q.ID, n, leastDangerWords), "when", f.Question)
			}
		}
	}
}

// dangerIn gives the dangerous words of a text and why they are; "" for none.
func dangerIn(text string, as speech) (what, why string) {
	for _, sentence := range sentences(text) {
		if p, found := ifDanger(sentence); found != "" {
			return found, p
		}
		denied := false
		for _, piece := range strings.Split(sentence, ",") {
			piece = strings.TrimSpace(piece)
			if as == asked && observed.MatchString(piece) {
				continue
			}
			if denied = denied && !conditional.MatchString(piece); denied {
				continue
			}
			for _, p := range perils {
				at := p.act.FindStringIndex(piece)
				if at == nil || allowed(piece, at) {
					continue
				}
				return piece[at[0]:at[1]], p.why
			}
			denied = denies.MatchString(piece) && !conditional.MatchString(piece)
		}
	}
	return "", ""
}

// sentences cuts a text at every mark that ends a thought.
func sentences(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(c rune) bool { return strings.ContainsRune(".;:!?", c) })
}

var (
	// observed marks a question about what has happened, which asks nobody to
	// do it.
	observed = lazily(`^(or )?(is|are|has|have|did|does|was|were|could) (anybody|somebody|anyone|someone|anything|something)\b`)
	// conditional marks a piece whose denial says nothing about the next one:
	// "if there is no picture, climb".
	conditional = lazily(`^(and |or |but )?(if|when|where|unless|until|once|while|since|as)\b`)
	// denies says that a piece forbids, up to the end of its sentence.
	denies = lazily(`\b(do not|don't|never|nobody|must not|may not|cannot|without)\b`)
	// forbidden stands before the act within one piece: anywhere, or, for a
	// word that may belong to something else, a few words away.
	forbidden = lazily(`\b(do not|don't|never|nobody|must not|may not|cannot)\b|\b(not|no|nothing|none|without|instead of|rather than)( [a-z'-]+){0,5} ?$`)
	// nothing stands behind the verb: "touch nothing", "open no cabinet".
	nothing = lazily(`^[a-z]+ (nothing|no|none)\b`)
	// others do it: "a technician comes with a ladder".
	others = lazily(`\b(technicians?|electricians?|engineers?|facilities|somebody|someone|the it desk)( [a-z]+)? (with|who|comes?|brings?|looks?|does|do|finds?|takes?|pulls?|opens?|switch|switches|resets?|must|can|will|has)\b[^,]*$`)
)

// allowed reports whether the act at the place is forbidden in the piece, or
// somebody else's.
func allowed(piece string, at []int) bool {
	before, act := piece[:at[0]], piece[at[0]:]
	verb, _, _ := strings.Cut(act, " ")
	return forbidden.MatchString(before) && !conditional.MatchString(piece) || nothing.MatchString(act) || others.MatchString(before+verb)
}

// ifDanger finds advice to handle what is wet or sparking, where the danger
// stands in the condition and the act behind it.
func ifDanger(sentence string) (why, what string) {
	at := wetThenAct.FindStringSubmatchIndex(sentence)
	if at == nil || nothing.MatchString(sentence[at[2]:]) || forbidden.MatchString(sentence[:at[2]]) {
		return "", ""
	}
	return "nobody handles what is wet, sparking or smoking: stop the call for safety", sentence[at[0]:at[1]]
}

var wetThenAct = lazily(`\b(?:if|when)\b[^.]*\b(?:wet|damp|soaked|sparks?|sparking|smoking|smokes)\b[^.]*?\b(pull|unplug|touch|wipe|dry (?:it|them|the)|push|plug|lift|shake|press)\b`)

// peril is an act that no caller is told to do.
type peril struct {
	act pattern
	why string
}

// perils are tried one after another on each piece of a sentence, in small
// letters. What they find is dangerous unless it is denied.
var perils = []peril{
	{lazily(`\b(climb|clamber|(get|step|stand|hop|kneel) (up )?(on|onto|upon)|reach up|lean out)\b`),
		"a caller never climbs: hand it to a visit"},
	{lazily(`\b(take|fetch|get|bring|use|put|set|lean|borrow|find|go up)\b[^,]*\b(ladder|stepladder|step stool|stool)\b`),
		"a caller never climbs: hand it to a visit"},
	{lazily(`\b(screwdriver|pliers|spanner|wrench|multimeter|soldering|drill|knife|scissors|hammer|crimp\w*|unscrew|unbolt)\b|\b(undo|loosen|remove) [^,]*\b(screws|bolts)\b`),
		"a caller uses no tool: hand it to a visit"},
	{lazily(`\b(open|open up|dismantle|take apart|prise|pry) (the|its|a|any|that|this|your) ([a-z-]+ ){0,2}(case|casing|housing|device|amplifier|projector|switcher|receiver|supply|strip|outlet|cabinet|rack|fuse box|distribution board|floor plate|ceiling tile)( |$)`),
		"a caller opens no device and no cabinet: hand it to a visit"},
	{lazily(`\b(remove|take off|lift off|pull off|slide off) (the|its|a|any|that) ([a-z-]+ ){0,2}(casing|housing|back panel|rear panel|back plate|grille|side panel|lamp door|cover|faceplate|ceiling tile|floor plate)\b`),
		"a caller opens no device: hand it to a visit"},
	{lazily(`\b(take|pull|lift|slide) (the|its|a|that) ([a-z-]+ ){0,2}(casing|cover|plate|faceplate|insert|panel|grille|tile) (off|out)\b|\bclean\b[^,]*\b(fibre|filter|contacts?|inside)\b`),
		"a caller takes nothing apart: hand it to a visit"},
	{lazily(`\b(reset|flip|push|press|switch|turn|put|throw|hold|tape|wedge|jam)\b[^,]*\b(on|in|up|back|again|down|reset|flip|hold|tape|wedge|jam)?\b[^,]*\b(breaker|trip switch|consumer unit|fuse)\b( (on|in|up|back|down|again)\b)?`),
		"a caller leaves breakers and fuses alone: facilities or an electrician"},
	{lazily(`\b(replace|change|swap|fit|bridge|strip|splice|rewire|twist|bare|join|test|measure|touch)\b[^,]*\b(fuse|mains wire|bare wire|wires?|live|voltage|terminals?|pins?|current)\b`),
		"a caller does no work on wires: hand it to a visit or an electrician"},
	{lazily(`\b(reach|look|go|get|feel|plug|pull|push|crawl|squeeze|unplug|stand|step)\b[^,]*\b(behind|in back of|at the back of|round the back of|the rear of|into|inside|out of) (the|a) ([a-z-]+ )?(rack|cabinet)\b`),
		"a caller never goes to the back of a rack or into it: hand it to a visit"},
	{lazily(`\b(reach|look|go|get|feel|crawl|squeeze|unplug)\b[^,]*\bbehind the ([a-z-]+ )?(screen|display|television|projector)\b`),
		"a caller does not go behind a mounted screen: hand it to a visit"},
	{lazily(`\b(tell|give|read|send|show|lend|share|borrow|use|write)\b[^,]*\b(password|passcode|passwords|pin code|credentials)\b|\b(use|borrow|take) (somebody|someone|anybody|another person|a colleague|your colleague|the host)('s| else's)? ([a-z-]+ )?(account|login|sign-in|badge)\b`),
		"nobody gives a password or an account away"},
	{lazily(`\b(bypass|get round|get around|go round|circumvent|evade|trick|disable|switch off|turn off|stop|kill|uninstall|override)\b[^,]*\b(policy|policies|firewall|antivirus|virus scanner|security|the block|guard|lockdown|restrictions?)\b|\bas (an )?administrator\b|\badmin rights\b`),
		"no text gets round a rule of the house: ask its owner"},
	{lazily(`\b(lift|cut|remove|tape|tape over|disconnect|break off|bend|snap|float|leave off|take off|pull out|unplug)\b[^,]*\b(earth|earthing|ground (pin|wire|lead|contact|connection))\b|\bground[- ]lift\b|\btwo-pin (plug|adapter)\b|\bwithout (an |the )?earth\b`),
		"the earth of the mains is never lifted"},
	{lazily(`\b(strip|strips|remove|removes|defeat|defeats|crack|break|bypass|get round|get around|avoid|switch off|turn off|disable|rip|trick)\b[^,]*\b(protection|hdcp|drm)\b|\b(record|rip|copy) (the|that|a|this) (protected|paid)\b`),
		"no text gets round content protection: explain it"},
	{lazily(`\b(look|looks|looking|peer|peek|stare|squint|glance)( straight| directly| right| closely)? (in|into|inside|down|through) (the|a|its|that) (end of )?(the |a )?([a-z-]+ ){0,2}(lens|beam|laser|fibre|fibre end|light|lamp|projector)\b|\b(look|stare|peer) (straight |directly )?at (the|a) (beam|laser|lamp)\b`),
		"nobody looks into a lens, a beam or a fibre"},
	{lazily(`\b(touch|feel|hold|grab|grip|lift|pull|push|wipe|dry|mop|unplug|plug|press|charge|squeeze|pick up|pierce|puncture)\b[^,]*\b(wet|damp|soaked|hot|smoking|sparking|scorched|burnt|swollen|bulging|leaking|melted|sticky) ([a-z-]+)\b`),
		"nobody handles what is wet, hot, sparking or swollen"},
	{lazily(`\b(touch|feel|see|check|find)\b[^,]*\b(whether|if|how) (it|this|that|the [a-z-]+) (is|are|feels|gives) (hot|warm|live|a shock|you a shock)\b`),
		"nobody touches a thing to see whether it is hot or live"},
	{lazily(`\b(pull|unplug|switch off|turn off|cut|restart)\b[^,]*\b(while|during|in the middle of)\b[^,]*\bupdat`),
		"no power is cut during an update"},
}
