package room

import (
	"fmt"
	"regexp"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/link"
	"faultbook/diagnose/measure/timing"
	"faultbook/diagnose/measure/usb"
)

// Format is a picture format that is wanted, with depth and chroma: 8 bit
// 4:4:4 where not said.
type Format struct {
	Text   string
	Signal link.Signal
}

// UnmarshalText reads "2160p60", "1080p60 10 bit 4:2:0".
func (f *Format) UnmarshalText(t []byte) error {
	depth, chroma := 8, link.C444
	words := strings.Fields(string(t))
	var rest []string
	for i := 0; i < len(words); i++ {
		if c, err := link.ParseChroma(words[i]); err == nil {
			chroma = c
			continue
		}
		if i+1 < len(words) && strings.HasPrefix(words[i+1], "bit") {
			if _, err := fmt.Sscanf(words[i], "%d", &depth); err != nil {
				return fmt.Errorf("%q: write the depth as 8 bit or 10 bit", t)
			}
			i++
			continue
		}
		rest = append(rest, words[i])
	}
	format, err := timing.ParseFormat(strings.Join(rest, " "))
	if err != nil {
		return fmt.Errorf("%q: %w", t, err)
	}
	timing, err := timing.Resolve(format)
	if err != nil {
		return fmt.Errorf("%q: %w", t, err)
	}
	f.Text, f.Signal = string(t), link.Signal{Timing: timing, Depth: depth, Chroma: chroma}
	if err := f.Signal.Legal(); err != nil {
		return fmt.Errorf("%q: %w", t, err)
	}
	return nil
}

// MarshalText writes it as it was read.
func (f Format) MarshalText() ([]byte, error) { return []byte(f.Text), nil }

// JSONSchema says how it is written.
func (Format) JSONSchema() map[string]any {
	return map[string]any{"type": "string", "minLength": 4, "description": "a picture format: 2160p60, 1920x1200p60 RB, 2160p60 10 bit 4:2:0"}
}

// Stream is booked USB traffic in Mbit/s.
type Stream struct {
	Text string
	Mbit float64
}

var cameraStream = regexp.MustCompile(`(?i)^(?:(.*) )?(\S+p\d+) (yuy2|nv12)$`)

// UnmarshalText reads "camera 1080p30 yuy2" and "audio 2.304 Mbit/s".
func (s *Stream) UnmarshalText(t []byte) error {
	s.Text = strings.TrimSpace(string(t))
	if m := cameraStream.FindStringSubmatch(s.Text); m != nil {
		f, err := timing.ParseFormat(m[2])
		if err != nil {
			return fmt.Errorf("%q: %w", t, err)
		}
		s.Mbit = usb.VideoRate(f.Width, f.Height, f.Rate, usb.Coding(strings.ToLower(m[3])))
		return nil
	}
	words := strings.Fields(s.Text)
	for i := range words {
		if v, err := measure.Parse(strings.Join(words[i:], " "), "Mbit/s"); err == nil {
			s.Mbit = v
			return nil
		}
	}
	return fmt.Errorf("%q: write a stream as camera 1080p30 yuy2, camera 720p30 nv12, or audio 2.304 Mbit/s", t)
}

// MarshalText writes it as it was read.
func (s Stream) MarshalText() ([]byte, error) { return []byte(s.Text), nil }

// JSONSchema says how it is written.
func (Stream) JSONSchema() map[string]any {
	return map[string]any{"type": "string", "minLength": 4, "description": "booked USB traffic: camera 1080p30 yuy2, audio 2.304 Mbit/s"}
}
