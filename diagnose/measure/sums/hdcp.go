package sums

import (
	"fmt"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/hdcp"
)

func hdcpSum() measure.Sum {
	return define(measure.Sum{
		Name:    "hdcp",
		Summary: "may protected content pass the chain: versions, stream type, devices, levels",
		Example: `faultbook calc hdcp --content type1 --device "source=2.2" --device "switcher=2.2" --device "display=1.4"`,
		Inputs: []measure.Input{
			word("content", hdcp.Contents(), "none (unprotected), type0 or type1", "type0"),
			required(many(text("device", "one device, from source to display: source=2.2, switcher=2.2, splitter=1.4, "+
				"display=1.4, x 12; versions 1.4, 2.2, 2.2 only, none, transparent; once for each", ""))),
		},
		Facts: []measure.FactName{
			yesFact("hdcp-chain-ok", "the content may pass every device"),
			{Name: "hdcp-state", Values: []string{"all-2x", "one-1x", "one-none"}, Help: "the lowest version in the chain"},
		},
	}, workHDCP)
}

func workHDCP(g *measure.Given, r *result) error {
	var chain []hdcp.Device
	for _, t := range g.Texts("device") {
		d, err := hdcp.ParseDevice(t)
		if err != nil {
			return measure.BadInput("device", "%w", err)
		}
		chain = append(chain, d)
	}
	content := hdcp.Content(g.Text("content"))
	report, err := hdcp.Judge(content, chain)
	if err != nil {
		return measure.BadInput("device", "%w", err)
	}
	r.out("devices_below_first_repeater", float64(report.Devices), "", 0)
	r.out("repeater_levels", float64(report.Levels), "", 0)
	for i, h := range report.Hops {
		text := fmt.Sprintf("%s to %s: %s in common", h.From, h.To, h.Common)
		if h.Why != "" {
			text += "; " + h.Why
		}
		r.say(fmt.Sprintf("link_%d", i+1), "%s", text)
	}
	if report.DeviceLimit > 0 {
		r.part("devices", float64(report.Devices), float64(report.DeviceLimit), "", report.Devices <= report.DeviceLimit)
		r.part("levels", float64(report.Levels), float64(report.LevelLimit), "", report.Levels <= report.LevelLimit)
	}
	verb := "may pass"
	if report.Verdict == measure.Fail {
		verb = "does not pass"
	}
	r.judge(report.Verdict, "The content %s: %s.", verb, report.Why)
	r.fact("hdcp-chain-ok", report.Verdict != measure.Fail)
	r.factValue("hdcp-state", lowestVersion(chain))
	hdcpSources(r, content)
	return nil
}

// lowestVersion names the weakest device that takes part.
func lowestVersion(chain []hdcp.Device) string {
	state := "all-2x"
	for _, d := range chain {
		switch {
		case d.Transparent:
		case d.Family.None():
			return "one-none"
		case !d.Family.V2:
			state = "one-1x"
		}
	}
	return state
}

func hdcpSources(r *result, content hdcp.Content) {
	r.Formula = "each link needs a version in common; type 1 needs 2.2 everywhere; below the first repeater 127 devices and 7 levels (1.x), 31 and 4 (2.x)"
	r.src("P-001", "read: an open kernel's HDCP header; relation from memory (HDCP 1.4, 2.2)")
	r.src("P-002", "read: open kernel and driver headers")
	r.src("P-003", "read: open kernel and driver headers")
	r.src("P-004", "read: open driver headers")
	if content == hdcp.Type1 {
		r.src("P-007", "read: an open kernel's HDCP header; from memory (HDCP 2.2 §2.9)")
	}
	r.src("P-005", measure.Practice)
	if r.Verdict == measure.Fail {
		r.note("ways that keep to the rules: set an input that is on 2.2 only to both versions (P-010, %s); play from a source or over devices that have the version; "+
			"choose content that is not protected", measure.Practice)
	}
}
