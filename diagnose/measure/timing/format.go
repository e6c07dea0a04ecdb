package timing

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Ranges of what is read as a format; a format may be far beyond any wire and
// still be a fair question.
const (
	leastSide, mostWidth, mostHeight = 64, 16384, 16384
	leastRate, mostRate              = 1.0, 900.0
	longestFormat                    = 40
)

// Format is a picture format as asked for. Rate is in Hz, for interlaced ones
// the field rate; Method may be Auto. Code is the list entry that was named
// outright (a CTA code with Method CTA, a DMT id with Method DMT), else 0.
type Format struct {
	Width, Height int
	Rate          float64
	Interlaced    bool
	Method        Method
	Code          int
}

// String writes the format so that ParseFormat reads it back:
// "3840x2160p60", "1920x1080i50", "1920x1200p60 CVT-RB", "VIC 97".
func (f Format) String() string {
	switch {
	case f.Code != 0 && f.Method == CTA:
		return fmt.Sprintf("VIC %d", f.Code)
	case f.Code != 0:
		return fmt.Sprintf("DMT 0x%02x", f.Code)
	}
	letter := "p"
	if f.Interlaced {
		letter = "i"
	}
	text := fmt.Sprintf("%dx%d%s%s", f.Width, f.Height, letter, strconv.FormatFloat(f.Rate, 'f', -1, 64))
	if f.Method != Auto {
		text += " " + string(f.Method)
	}
	return text
}

// bodyPattern reads size, separator and rate. Groups: width, height, lines,
// trade name, separator, rate.
var bodyPattern = regexp.MustCompile(
	`^(?:(\d{2,5}) ?[x×] ?(\d{2,5})|(\d{3,4})|(4k|8k|uhd|fhd|wuxga|wqhd|qhd))( ?[pi@] ?| )?(\d{1,3}(?:\.\d{1,3})?)? ?(?:hz)?$`)

// ParseFormat reads a format: "2160p60", "1080i50", "1920x1200@59.94",
// "3840x2160p60 RB", "4K60", "VIC 97", "DMT 0x44". Errors say what is wrong and
// give an example.
func ParseFormat(text string) (Format, error) {
	if len(text) > longestFormat {
		return Format{}, fmt.Errorf("a format of %d characters is too long; write one such as 2160p60", len(text))
	}
	words := strings.Fields(strings.ToLower(text))
	if len(words) == 0 {
		return Format{}, fmt.Errorf("no format given; write one such as 2160p60")
	}
	if f, isCode, err := parseCode(strings.Join(words, "")); isCode {
		return f, err
	}
	words, method := takeMethod(words)
	m := bodyPattern.FindStringSubmatch(strings.Join(words, " "))
	if m == nil {
		return Format{}, fmt.Errorf("%q is not a format; write one such as 2160p60, 1920x1200p60 or 1080i50", text)
	}
	f, err := fromMatch(m, text)
	f.Method = method
	if err != nil {
		return Format{}, err
	}
	return f, f.check()
}

// parseCode reads "vic97" and "dmt0x44".
func parseCode(text string) (f Format, isCode bool, err error) {
	var t Timing
	var known bool
	switch {
	case strings.HasPrefix(text, "vic"):
		f.Method = CTA
		f.Code, err = strconv.Atoi(text[3:])
		if t, known = VIC(f.Code); err != nil || !known {
			return f, true, fmt.Errorf("%q is not a CTA code that is known; they run from 1 to 219", text)
		}
	case strings.HasPrefix(text, "dmt"):
		f.Method = DMT
		id, convErr := strconv.ParseUint(strings.TrimPrefix(text[3:], "0x"), 16, 8)
		f.Code = int(id)
		if t, known = DMTEntry(f.Code); convErr != nil || !known {
			return f, true, fmt.Errorf("%q is not a DMT id that is known; they run from 0x01 to 0x58", text)
		}
	default:
		return f, false, nil
	}
	f.Width, f.Height, f.Rate, f.Interlaced = t.Width, t.Height, t.RateHz(), t.Interlaced
	return f, true, nil
}

// takeMethod takes the words of a method from the end.
func takeMethod(words []string) ([]string, Method) {
	names := map[string]Method{
		"cta": CTA, "dmt": DMT, "full": Full, "cvt": CVT, "gtf": GTF, "rb": CVTRB, "rb1": CVTRB, "cvt-rb": CVTRB,
		"rb2": RBv2, "rbv2": RBv2, "cvt-rb2": RBv2, "cvt-rbv2": RBv2, "cvtfull": CVT, "cvt-full": CVT,
		"cvt-rb-v2": RBv2, "rb-v2": RBv2,
	}
	for n := min(3, len(words)-1); n > 0; n-- {
		if m, ok := names[strings.Join(words[len(words)-n:], "-")]; ok {
			return words[:len(words)-n], m
		}
	}
	return words, Auto
}

func fromMatch(m []string, text string) (Format, error) {
	f := Format{Interlaced: strings.TrimSpace(m[5]) == "i"}
	switch {
	case m[1] != "":
		f.Width, _ = strconv.Atoi(m[1])
		f.Height, _ = strconv.Atoi(m[2])
	case m[3] != "":
		lines, _ := strconv.Atoi(m[3])
		if f.Width, f.Height = usualWidth(lines), lines; f.Width == 0 {
			return f, fmt.Errorf("%q: %d lines have no usual width; write it as WIDTHx%dp60", text, lines, lines)
		}
		if m[5] == "" || m[5] == " " {
			return f, fmt.Errorf("%q: put p or i between lines and rate, such as %dp60", text, lines)
		}
	default:
		f.Width, f.Height = tradeSize(m[4])
	}
	if m[6] == "" {
		return f, fmt.Errorf("%q has no rate; write one such as %dx%dp60", text, f.Width, f.Height)
	}
	if m[1] != "" && m[5] == "" {
		return f, fmt.Errorf("%q: put p, i or @ before the rate", text)
	}
	f.Rate, _ = strconv.ParseFloat(m[6], 64)
	return f, nil
}

func (f Format) check() error {
	switch {
	case f.Width < leastSide || f.Width > mostWidth || f.Height < leastSide || f.Height > mostHeight:
		return fmt.Errorf("a picture of %d x %d is out of range: %d to %d can be used", f.Width, f.Height, leastSide, mostWidth)
	case f.Rate < leastRate || f.Rate > mostRate:
		return fmt.Errorf("a rate of %g Hz is out of range: %g to %g Hz can be used", f.Rate, leastRate, mostRate)
	}
	return nil
}

// usualWidth is the width that a technician means by lines alone, 0 if none.
func usualWidth(lines int) int {
	widths := map[int]int{480: 720, 576: 720, 720: 1280, 1080: 1920, 1200: 1920, 1440: 2560, 1600: 2560, 2160: 3840, 4320: 7680}
	return widths[lines]
}

// tradeSize is the size behind a trade word. "4k" is taken as 3840 wide: the
// 4096 form has to be written out.
func tradeSize(word string) (width, height int) {
	switch word {
	case "4k", "uhd":
		return 3840, 2160
	case "8k":
		return 7680, 4320
	case "fhd":
		return 1920, 1080
	case "wuxga":
		return 1920, 1200
	}
	return 2560, 1440 // qhd, wqhd
}
