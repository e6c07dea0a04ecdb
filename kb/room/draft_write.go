package room

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// m is a mapping of the draft, in order.
type m []any

// node turns nested m, lists and texts into YAML nodes; empty values are left
// out, since what is not known is not written.
func node(v any, flow bool) *yaml.Node {
	n := &yaml.Node{}
	if flow {
		n.Style = yaml.FlowStyle
	}
	switch x := v.(type) {
	case m:
		n.Kind, n.Tag = yaml.MappingNode, "!!map"
		for i := 0; i+1 < len(x); i += 2 {
			if value := node(x[i+1], true); value != nil {
				n.Content = append(n.Content, &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: x[i].(string)}, value)
			}
		}
	case []any:
		n.Kind, n.Tag = yaml.SequenceNode, "!!seq"
		for _, item := range x {
			if value := node(item, true); value != nil {
				n.Content = append(n.Content, value)
			}
		}
	case []string:
		n.Kind, n.Tag = yaml.SequenceNode, "!!seq"
		for _, item := range x {
			n.Content = append(n.Content, node(item, true))
		}
	case string:
		if x == "" {
			return nil
		}
		n = scalar(x)
		if _, err := strconv.ParseFloat(x, 64); err == nil {
			n.Tag = "!!float"
		}
		return n
	case int:
		return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!int", Value: strconv.Itoa(x)}
	}
	if len(n.Content) == 0 {
		return nil
	}
	return n
}

// YAML writes the sheet.
func (d *Draft) YAML() ([]byte, error) {
	v := d.values
	title := v["title"]
	if title == "" {
		title = d.ID
	}
	var places, walks []any
	places = append(places, m{"id", "table", "title", "the table", "is", "table"}, m{"id", "front", "title", "the front wall", "is", "display"})
	if v["rack"] != "" {
		places = append(places, m{"id", "rack", "title", v["rack"], "is", "rack"})
		if v["rack-walk"] != "" {
			walks = append(walks, m{"from", "table", "to", "rack", "minutes", v["rack-walk"]})
		}
	}
	devices, cables := d.things()
	var viewing any = m{"farthest", v["farthest"]}
	doc := []any{"kind", "room", "id", d.ID, "title", title, "words", split(v["words"]), "site", v["site"], "type", v["type"], "revision", 1,
		"surveyed", d.Surveyed.String(), "by", d.By, "complete", split(v["complete"]), "leads", split(v["lead"]),
		"wanted", split(v["wanted"]), "viewing", viewing, "places", places, "walks", walks, "devices", devices, "cables", cables}
	top := &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map"}
	for i := 0; i+1 < len(doc); i += 2 {
		value := node(doc[i+1], true)
		if value == nil {
			continue
		}
		if value.Kind == yaml.SequenceNode && len(value.Content) > 0 && value.Content[0].Kind == yaml.MappingNode {
			value.Style = 0 // one item a line
		}
		if doc[i] == "surveyed" {
			value.Tag = "!!timestamp"
		}
		top.Content = append(top.Content, &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: doc[i].(string)}, value)
	}
	var buf bytes.Buffer
	buf.WriteString(schemaLine)
	enc := yaml.NewEncoder(&buf)
	enc.SetIndent(2)
	if err := enc.Encode(top); err != nil {
		return nil, fmt.Errorf("write the sheet: %w", err)
	}
	return buf.Bytes(), nil
}

// things are the devices and cables of the answers.
func (d *Draft) things() (devices, cables []any) {
	v := d.values
	video := func(id, way, class, title string) m {
		return m{"id", id, "title", title, "carries", "video", "way", way, "class", class}
	}
	lead := "hdmi"
	devices = append(devices, m{"id", "laptop", "kind", "laptop", "title", "the guest laptop", "place", "table",
		"ports", []any{video(lead, "out", "", "")}})
	for i := 1; i <= d.screens; i++ {
		n := strconv.Itoa(i)
		kind := v["screen-kind-"+n]
		if kind == "" {
			kind = "display"
		}
		id := "screen-" + n
		devices = append(devices, m{"id", id, "kind", kind, "title", v["screen-title-"+n], "place", "front", "diagonal", v["screen-size-"+n],
			"ports", []any{video("hdmi-1", "in", v["screen-class-"+n], "HDMI 1")}})
		from := "laptop/hdmi"
		if v["box"] != "" {
			from = "box/out-" + n
		} else if i > 1 {
			continue // one lead goes to one screen
		}
		cables = append(cables, m{"id", "run-" + n, "from", from, "to", id + "/hdmi-1", "class", v["run-class"], "length", v["run-length"]})
	}
	if v["box"] != "" {
		ports := []any{video("in-1", "in", v["box-class"], "input 1"), video("in-2", "in", v["box-class"], "input 2")}
		for i := 1; i <= d.screens; i++ {
			ports = append(ports, video(fmt.Sprintf("out-%d", i), "out", v["box-class"], fmt.Sprintf("output %d", i)))
		}
		devices = append(devices, m{"id", "box", "kind", "switcher", "title", v["box"], "place", "table", "ports", ports})
		cables = append(cables, m{"id", "table-lead", "title", "the lead on the table", "from", "laptop/hdmi", "to", "box/in-1", "class", v["lead-class"], "length", v["lead-length"]})
	}
	return d.more(devices, cables)
}

// more are the room's computer and what has no sums of its own yet.
func (d *Draft) more(devices, cables []any) (_, _ []any) {
	v := d.values
	rack := "table"
	if v["rack"] != "" {
		rack = "rack"
	}
	usb := func(way string) m { return m{"id", "usb", "carries", "usb", "way", way} }
	if v["computer"] != "" {
		devices = append(devices, m{"id", "room-pc", "kind", "computer", "title", v["computer"], "place", rack, "address", v["address"],
			"ports", []any{m{"id", "hdmi", "carries", "video", "way", "out"}, usb("out")}})
		if v["box"] != "" {
			cables = append(cables, m{"id", "pc-lead", "from", "room-pc/hdmi", "to", "box/in-2"})
		}
	}
	if v["camera"] != "" {
		devices = append(devices, m{"id", "camera", "kind", "camera", "title", v["camera"], "place", "front", "ports", []any{usb("in")}})
		if v["computer"] != "" {
			cables = append(cables, m{"id", "camera-lead", "from", "room-pc/usb", "to", "camera/usb"})
		}
	}
	for _, x := range []struct{ key, kind, place string }{{"amplifier", "amplifier", rack}, {"panel", "panel", "table"}} {
		if v[x.key] != "" {
			devices = append(devices, m{"id", x.key, "kind", x.kind, "title", strings.TrimSpace(v[x.key]), "place", x.place})
		}
	}
	return devices, cables
}
