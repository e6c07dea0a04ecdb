package room

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"faultbook/diagnose/measure/ether"
	"faultbook/diagnose/measure/link"
)

// Draft is a sheet while it is being asked for.
type Draft struct {
	ID       string
	By       string
	Surveyed Day

	values  map[string]string
	done    map[string]bool
	screens int
}

// Question is one thing that a draft asks; Take takes the answer, "" for not
// known.
type Question struct {
	Text string
	Take func(answer string) error
}

// asked is one question of the interview: its key, its words, when it makes
// sense, and what an answer must be.
type asked struct {
	key, text string
	when      func(d *Draft) bool
	check     func(answer string) error
}

// Next is the next question, nil at the end.
func (d *Draft) Next() *Question {
	if d.values == nil {
		d.values, d.done = map[string]string{}, map[string]bool{}
	}
	for _, a := range d.questions() {
		if d.done[a.key] || a.when != nil && !a.when(d) {
			continue
		}
		return &Question{a.text, func(answer string) error {
			if answer != "" && a.check != nil {
				if err := a.check(answer); err != nil {
					return err
				}
			}
			d.values[a.key], d.done[a.key] = answer, true
			if a.key == "screens" {
				d.screens, _ = strconv.Atoi(answer)
			}
			return nil
		}}
	}
	return nil
}

// questions are those of the interview in their order; screens come one by one.
func (d *Draft) questions() []asked {
	list := []asked{
		{"title", "Name on the door:", nil, nil},
		{"words", "What callers call it (with commas between):", nil, nil},
		{"site", "Building or site:", nil, nil},
		{"type", "Type of room, a word of your own for rooms that are fitted out alike (small, boardroom):", nil, nil},
		{"screens", "How many screens or projectors?", nil, count(8)},
	}
	for i := 1; i <= d.screens; i++ {
		n := strconv.Itoa(i)
		list = append(list,
			asked{"screen-kind-" + n, "Screen " + n + ": display, projector, video-wall or led-wall?", nil, oneOf("display", "projector", "video-wall", "led-wall")},
			asked{"screen-title-" + n, "Screen " + n + ", as one says it to a caller (the screen on the front wall):", nil, nil},
			asked{"screen-class-" + n, "Screen " + n + ", limit of its input (HDMI 2.0, HDMI 1.4, 300 MHz):", nil, videoClass},
			asked{"screen-size-" + n, "Screen " + n + ", diagonal (75 in):", nil, length})
	}
	has := func(key string) func(*Draft) bool { return func(d *Draft) bool { return d.values[key] != "" } }
	return append(list,
		asked{"box", "The box that switches the sources, as one says it (empty for none):", nil, nil},
		asked{"box-class", "Limit of its sockets (HDMI 2.0):", has("box"), videoClass},
		asked{"lead", "What people plug in: hdmi-cable, usb-c-cable, adapter, dock, wireless (with commas between):", nil, eachOf("hdmi-cable", "usb-c-cable", "adapter", "dock", "wireless")},
		asked{"lead-length", "Length of the lead on the table (3 m):", nil, length},
		asked{"lead-class", "Class of that lead (High Speed, Premium High Speed):", nil, videoClass},
		asked{"run-length", "Length of the run to the screen (8 m):", nil, length},
		asked{"run-class", "Class of that run (High Speed, Premium High Speed, cat 6a):", nil, cableClass},
		asked{"computer", "The room's own computer, as one says it (empty for none):", nil, nil},
		asked{"address", "Its address with mask (192.168.10.3/24, or dhcp):", has("computer"), address},
		asked{"camera", "The camera, as one says it (empty for none):", nil, nil},
		asked{"amplifier", "The amplifier, as one says it (empty for none):", nil, nil},
		asked{"panel", "The touch panel, as one says it (empty for none):", nil, nil},
		asked{"rack", "Where the cabinet is (empty for none):", nil, nil},
		asked{"rack-walk", "Minutes from the table to it:", has("rack"), minutes},
		asked{"farthest", "From the farthest seat to the screen (6 m):", nil, length},
		asked{"wanted", "Formats that must pass (2160p60, 1080p60; with commas between):", nil, formats},
		asked{"complete", "Which of these lists are whole now: " + strings.Join(Fields(), ", ") + " (with commas between, empty for none)?", nil, eachOf(Fields()...)})
}

func count(most int) func(string) error {
	return func(t string) error {
		if n, err := strconv.Atoi(t); err != nil || n < 0 || n > most {
			return fmt.Errorf("%q is no number from 0 to %d", t, most)
		}
		return nil
	}
}

func oneOf(words ...string) func(string) error {
	return func(t string) error {
		if !slices.Contains(words, t) {
			return fmt.Errorf("%q: write one of %s", t, strings.Join(words, ", "))
		}
		return nil
	}
}

func eachOf(words ...string) func(string) error {
	return func(t string) error {
		for _, w := range split(t) {
			if err := oneOf(words...)(w); err != nil {
				return err
			}
		}
		return nil
	}
}

func videoClass(t string) error {
	_, err := link.ParsePart("cable=" + t)
	return err
}

func cableClass(t string) error {
	if remoteClass.MatchString(t) {
		return nil
	}
	return videoClass(t)
}

func length(t string) error { var m Metres; return m.UnmarshalText([]byte(t)) }

func address(t string) error {
	if t == "dhcp" {
		return nil
	}
	_, err := ether.ParseHost(t)
	return err
}

func minutes(t string) error {
	if m, err := strconv.ParseFloat(t, 64); err != nil || m < 0 || m > 120 {
		return fmt.Errorf("%q is no number of minutes from 0 to 120", t)
	}
	return nil
}

func formats(t string) error {
	for _, w := range split(t) {
		var f Format
		if err := f.UnmarshalText([]byte(w)); err != nil {
			return err
		}
	}
	return nil
}

// split takes a list apart at its commas.
func split(t string) []string {
	var list []string
	for _, w := range strings.Split(t, ",") {
		if w = strings.TrimSpace(w); w != "" {
			list = append(list, w)
		}
	}
	return list
}
