package sums

import (
	"encoding/hex"
	"fmt"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/serial"
)

func serialSum() measure.Sum {
	return define(measure.Sum{
		Name:    "serial",
		Summary: "time of serial characters, tolerance of the line rate, length of the cable",
		Example: "faultbook calc serial --baud 9600 --frame 8N1 --characters 20 --other-baud 9750 --length 15m",
		Inputs: []measure.Input{
			required(bare(figure("baud", "baud", 50, 1e6, "line rate", ""))),
			text("frame", "data bits, parity, stop bits: 8N1, 7E1, 8E2", "8N1"),
			count("characters", 1, 1e6, "characters in the message", "1"),
			bare(figure("other-baud", "baud", 50, 1e6, "line rate of the other side, as set or measured", "")),
			figure("length", "m", 0, 10000, "cable", ""),
			figure("capacitance", "pF/m", 1, 10000, "of the cable; category 5 has about 17 pF/ft", "55.8 pF/m"),
		},
		Facts: []measure.FactName{
			yesFact("serial-rate-ok", "the two line rates read each other"),
			yesFact("serial-length-ok", "the cable is within the load that RS-232 allows"),
		},
	}, workSerial)
}

func workSerial(g *measure.Given, r *result) error {
	f, err := serial.ParseFrame(g.Text("frame"))
	if err != nil {
		return measure.BadInput("frame", "%w", err)
	}
	baud := g.Figure("baud")
	n := g.Count("characters")
	ms := float64(n) * f.CharacterMS(baud)
	r.out("message_time", ms, "ms", 3)
	r.out("character_time", f.CharacterMS(baud), "ms", 4)
	r.out("bits_per_character", float64(f.Bits()), "", 0)
	r.out("characters_per_second", 1000/f.CharacterMS(baud), "1/s", 1)
	r.Formula = "character time = (1 start + data + parity + stop) / baud; tolerance = (0.5 - 1/16) bit / bits to the middle of the stop bit"
	r.src("C-009", measure.Computed)
	r.judge(measure.Unknown, "%d character%s of %s at %s take %s.", n, plural(n), f, measure.Show(baud, "baud", 0), measure.Show(ms, "ms", 3))
	if g.Has("other-baud") {
		serialRate(r, f, baud, g.Figure("other-baud"))
	}
	if g.Has("length") {
		serialLength(r, baud, g.Figure("length"), g.Figure("capacitance"))
	}
	return nil
}

func serialRate(r *result, f serial.Frame, baud, other float64) {
	diff, limit, advised := serial.Difference(baud, other), f.Tolerance(true), 2*f.AdvisedPerSide()
	r.out("difference", diff, "%", 2)
	r.out("tolerance", limit, "%", 2)
	r.part("difference against the limit", diff, limit, "%", measure.Within(diff, limit))
	r.part("… against the advice", diff, advised, "%", measure.Within(diff, advised))
	r.src("C-011", "computed; read: an operational-range table of a microcontroller's data sheet")
	r.src("C-012", "read: an operational-range table of a microcontroller's data sheet")
	r.fact("serial-rate-ok", measure.Within(diff, limit))
	switch {
	case !measure.Within(diff, limit):
		r.add(measure.Fail, "The line rates are %s apart, more than the %s that reads right.", measure.Show(diff, "%", 1), measure.Show(limit, "%", 2))
	case !measure.Within(diff, advised):
		r.add(measure.Tight, "The line rates are %s apart, within %s but more than the advised %s.", measure.Show(diff, "%", 1),
			measure.Show(limit, "%", 2), measure.Show(advised, "%", 1))
	default:
		r.add(measure.Pass, "The line rates are %s apart, which reads right.", measure.Show(diff, "%", 1))
	}
}

func serialLength(r *result, baud, length, perMetre float64) {
	limit := serial.LengthByCapacitance(perMetre)
	sure, common := serial.UsualLength(baud)
	r.out("longest_by_load", limit, "m", 1)
	r.part("length against the load", length, limit, "m", measure.Within(length, limit))
	r.part("… against the usual", length, common, "m", measure.Within(length, common))
	r.src("C-003", "read: a manual page on RS-232; computed; 2500 pF from memory (TIA-232-F)")
	r.src("C-005", measure.Practice)
	ok := measure.Within(length, limit)
	r.fact("serial-length-ok", ok)
	switch {
	case !ok:
		r.add(measure.Fail, "%s of cable load the line beyond what RS-232 allows (%s).", measure.Show(length, "m", 1), measure.Show(limit, "m", 1))
	case !measure.Within(length, common):
		r.add(measure.Tight, "%s is longer than the %s that usually work at this rate.", measure.Show(length, "m", 1), measure.Show(common, "m", 1))
	case !measure.Within(length, sure):
		r.add(measure.Pass, "%s of cable commonly work at this rate; %s are sure.", measure.Show(length, "m", 1), measure.Show(sure, "m", 0))
	default:
		r.add(measure.Pass, "%s of cable work at this rate.", measure.Show(length, "m", 1))
	}
}

func paritySum() measure.Sum {
	return define(measure.Sum{
		Name:    "parity",
		Summary: "what a serial port with the wrong parity, bits or rate reads",
		Example: `faultbook calc parity --text "PWR?" --sent 7E1 --read 8N1`,
		Inputs: []measure.Input{
			text("text", "characters sent, as plain letters", ""),
			text("hex", "bytes sent, in hex: 50 57 0D", ""),
			text("sent", "frame of the sender: 7E1", "8N1"),
			text("read", "frame of the reader: 8N1", "8N1"),
			bare(figure("sent-baud", "baud", 50, 1e6, "line rate of the sender", "9600")),
			bare(figure("read-baud", "baud", 50, 1e6, "line rate of the reader", "9600")),
		},
		Facts: []measure.FactName{yesFact("serial-settings-agree", "every character is read as it was sent")},
	}, workParity)
}

// mostBytes bounds what one run sends.
const mostBytes = 256

func workParity(g *measure.Given, r *result) error {
	data, err := bytesSent(g)
	if err != nil {
		return err
	}
	sent, err := serial.ParseFrame(g.Text("sent"))
	if err != nil {
		return measure.BadInput("sent", "%w", err)
	}
	read, err := serial.ParseFrame(g.Text("read"))
	if err != nil {
		return measure.BadInput("read", "%w", err)
	}
	seen := serial.ReadAs(data, serial.Setting{Frame: sent, Baud: g.Figure("sent-baud")}, serial.Setting{Frame: read, Baud: g.Figure("read-baud")})
	same := len(seen) == len(data)
	var codes []string
	errorsSeen := 0
	for i, s := range seen {
		code := fmt.Sprintf("%02X", s.Byte)
		if s.FramingError || s.ParityError {
			code += "!"
			errorsSeen++
		}
		codes = append(codes, code)
		same = same && i < len(data) && s == serial.Seen{Byte: data[i]}
	}
	r.say("read_hex", "%s", strings.Join(codes, " "))
	r.say("sent_hex", "%s", strings.ToUpper(fmt.Sprintf("% x", data)))
	r.say("read_text", "%s", printable(seen))
	r.out("characters_read", float64(len(seen)), "", 0)
	r.out("flagged_errors", float64(errorsSeen), "", 0)
	r.Formula = "start 0, data least bit first, parity, stop 1; the reader samples the middle of each of its bits; ! marks a framing or parity error"
	r.src("C-014", measure.Computed)
	r.src("C-013", "computed; looks "+measure.Practice)
	r.fact("serial-settings-agree", same)
	if same {
		r.judge(measure.Pass, "Every character is read as it was sent.")
	} else {
		r.judge(measure.Fail, "Sent as %s, read as %s: the reader takes %s.", sent, read, strings.Join(codes, " "))
	}
	return nil
}

func bytesSent(g *measure.Given) ([]byte, error) {
	if g.Has("text") == g.Has("hex") {
		return nil, measure.BadInput("text", "give what was sent, either as --text or as --hex")
	}
	data := []byte(g.Text("text"))
	if g.Has("hex") {
		var err error
		if data, err = hex.DecodeString(strings.Join(strings.Fields(g.Text("hex")), "")); err != nil {
			return nil, measure.BadInput("hex", "%q is not hex; write bytes such as 50 57 0D", g.Text("hex"))
		}
	}
	if len(data) == 0 || len(data) > mostBytes {
		return nil, measure.BadInput("text", "1 to %d bytes can be sent", mostBytes)
	}
	return data, nil
}

// printable shows characters that print and a dot for the others.
func printable(seen []serial.Seen) string {
	var b strings.Builder
	for _, s := range seen {
		if s.Byte >= 0x20 && s.Byte < 0x7F {
			b.WriteByte(s.Byte)
		} else {
			b.WriteByte('.')
		}
	}
	return b.String()
}
