package room

import (
	"regexp"
	"strings"
)

// role is a thing of the book's texts that a room's own things can stand for.
type role struct {
	name    string   // as it is told
	kinds   []string // of devices
	phrases []string // how the texts of the book call it, longest first
}

// roles is the map of names: which words of the book mean which devices.
func roles() []role {
	return []role{
		{"screen", []string{"display", "projector", "video-wall", "led-wall"}, []string{"the room's screen", "the room display", "the room's display", "the room screen", "the display", "the screen"}},
		{"projector", []string{"projector"}, []string{"the projector"}},
		{"switcher", []string{"switcher"}, []string{"the box that switches the sources", "the presentation switcher", "the table box", "the switcher"}},
		{"network box", []string{"network-switch"}, []string{"the network box", "the network switch"}},
		{"panel", []string{"panel"}, []string{"the room's panel", "the touch panel", "the wall panel", "the panel"}},
		{"control box", []string{"controller"}, []string{"the control box"}},
		{"camera", []string{"camera"}, []string{"the room's camera", "the room camera", "the camera"}},
		{"microphone", []string{"microphone", "radio-microphone"}, []string{"the microphone"}},
		{"loudspeaker", []string{"loudspeaker"}, []string{"the room's loudspeakers", "the loudspeakers", "the loudspeaker"}},
		{"amplifier", []string{"amplifier"}, []string{"the amplifier"}},
		{"laptop station", []string{"dock"}, []string{"the laptop station", "the docking station", "the dock"}},
		{"USB hub", []string{"hub"}, []string{"the hub"}},
		{"room computer", []string{"computer"}, []string{"the room computer", "the room pc"}},
		{"extension box", []string{"usb-extender", "extender"}, []string{"the extension box", "the extender"}},
		{"power strip", []string{"strip"}, []string{"the power strip"}},
	}
}

// Here is a thing of the book's text as it is in the room.
type Here struct {
	Thing string `json:"thing"` // the word of the book: "the switcher"
	Name  string `json:"name"`  // "the small box under the lectern, input 2"
	Where string `json:"where,omitempty"`
}

// Name puts the names of the room's own things behind the first mention of
// each: "the switcher (the small box under the lectern, input 2)". A thing
// that the room has not, or more than two of, stays as it is. said holds the
// things that were named already.
func (s *Sheet) Name(text string, said map[string]bool) (string, []Here) {
	var list []Here
	for _, r := range roles() {
		if said[r.name] {
			continue
		}
		name, where := s.called(r)
		if name == "" {
			continue
		}
		for _, p := range r.phrases {
			at := mention(text, p)
			if at < 0 {
				continue
			}
			said[r.name] = true
			end := at + len(p)
			list = append(list, Here{text[at:end], name, where})
			if !strings.Contains(plain(text), plain(name)) {
				text = withName(text, at, end, name)
			}
			break
		}
	}
	if said["cabinet"] {
		return text, list
	}
	for _, p := range s.Places {
		if p.Is != "rack" || p.Title == "" {
			continue
		}
		for _, phrase := range []string{"the cabinet", "the rack"} {
			if at := mention(text, phrase); at >= 0 && !strings.Contains(plain(text), plain(p.Title)) {
				said["cabinet"] = true
				end := at + len(phrase)
				list = append(list, Here{text[at:end], p.Title, ""})
				return withName(text, at, end, p.Title), list
			}
		}
	}
	return text, list
}

// withName puts the room's own name for a thing behind the general one, or in its
// place where it begins with it: "the cabinet beside the door".
func withName(text string, at, end int, name string) string {
	if plain(name) != plain(text[at:end]) && strings.HasPrefix(plain(name)+" ", plain(text[at:end])+" ") {
		return text[:end] + name[end-at:] + text[end:]
	}
	return text[:end] + " (" + name + ")" + text[end:]
}

// mention finds a phrase as whole words, letter case of its first letter
// aside; "the screen of the laptop" and "the screen's" are something else.
func mention(text, phrase string) int {
	low := strings.ToLower(text)
	if len(low) != len(text) {
		return -1 // letters that change their length: leave the text alone
	}
	for from := 0; ; {
		i := strings.Index(low[from:], phrase)
		if i < 0 {
			return -1
		}
		i += from
		after := low[i+len(phrase):]
		if (i == 0 || !letter(low[i-1])) && !follows.MatchString(after) {
			return i
		}
		from = i + len(phrase)
	}
}

// follows is what makes another thing of a mention, or has a name already.
var follows = regexp.MustCompile(`^([a-z0-9'’-]| \(| of (the|your|a|my) (laptop|computer|phone|tablet)| (cable|lead|lamp|button|list|settings|share|sharing|sound))`)

func letter(b byte) bool { return b >= 'a' && b <= 'z' || b >= '0' && b <= '9' || b == '\'' }

// called names the devices of a role, with their place; "" for none or more
// than two. A switcher comes with the input of the laptop's lead.
func (s *Sheet) called(r role) (name, where string) {
	list := s.of(r.kinds...)
	if len(list) == 0 || len(list) > 2 {
		return "", ""
	}
	var names []string
	for _, d := range list {
		if d.Title == "" {
			return "", ""
		}
		n := d.Title
		if in := s.laptopInput(d); r.name == "switcher" && in != "" {
			n += ", " + in
		}
		names = append(names, n)
	}
	if len(list) == 1 {
		where = s.Where(list[0])
	}
	return strings.Join(names, " or "), where
}

// laptopInput is the title of the input that a laptop lead goes into, "" where
// there is none or several.
func (s *Sheet) laptopInput(d *Device) string {
	found := ""
	for i := range s.Cables {
		from, to := s.ports[s.Cables[i].From], s.ports[s.Cables[i].To]
		if from == nil || to == nil || to.device != d || from.device.Kind != "laptop" || from.port.Carries != "video" {
			continue
		}
		title := to.port.Title
		if title == "" {
			title = to.port.ID
		}
		if found != "" && found != title {
			return ""
		}
		found = title
	}
	return found
}
