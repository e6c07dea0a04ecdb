package page

import (
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/kb"
	"faultbook/kb/room"
	"faultbook/kb/room/draw"
)

// roomScreen shows the sheets of rooms with what the sums say of them.
func (s *Server) roomScreen() screen {
	return screen{Path: "/rooms", Label: "Rooms", Routes: []route{
		{Pattern: "GET /rooms", Do: s.listRooms},
		{Pattern: "GET /rooms/{id}", Do: s.room},
		{Pattern: "GET /rooms/{id}/visit", Do: s.roomVisit},
	}}
}

// sheets reads all room sheets, with what is wrong with them.
func (s *Server) sheets() ([]*room.Sheet, []kb.Finding) {
	dir := filepath.Join(s.opt.Home, "rooms")
	if _, err := os.Stat(dir); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return room.Load(os.DirFS(dir), "rooms")
}

// roomRow is a room in the list.
type roomRow struct {
	ID, Title, Site, Surveyed string
	Counts                    string // of what the sums find
	Bad                       bool
}

func (s *Server) listRooms(v *visit) error {
	sheets, findings := s.sheets()
	var rows []roomRow
	for _, x := range sheets {
		r := room.Check(x)
		rows = append(rows, roomRow{ID: x.ID, Title: x.Title, Site: x.Site, Surveyed: x.Surveyed.String(), Counts: countsText(&r),
			Bad: r.Count(room.Error) > 0})
	}
	var wrong []string
	for _, f := range findings {
		if f.Level == kb.LevelError {
			wrong = append(wrong, f.String())
		}
	}
	return s.render(v, "rooms", "Rooms", map[string]any{"Rows": rows, "Wrong": wrong})
}

// countsText counts the findings of a report in words.
func countsText(r *room.Report) string {
	var list []string
	for _, c := range []struct {
		level     room.Severity
		one, more string
	}{{room.Error, "does not fit", "do not fit"}, {room.Warning, "is tight", "are tight"}, {room.Unknown, "is not known", "are not known"}} {
		if n := r.Count(c.level); n == 1 {
			list = append(list, "1 "+c.one)
		} else if n > 1 {
			list = append(list, fmt.Sprint(n, " ", c.more))
		}
	}
	if len(list) == 0 {
		return "all fits"
	}
	return strings.Join(list, ", ")
}

// roomPage is one room.
type roomPage struct {
	*room.Sheet
	Counts, Day string
	Findings    []roomFinding
	Displays    []string
	Matrix      []matrixRow
	Places      []placeView
	Lamps       []lampRow
	Cables      []cableRow
	Picture     template.HTML
}

type roomFinding struct {
	Level, Word, Text string
	Sources           []item
	Bar               *partRow
}

// matrixRow is a source with how the wanted formats fare on each display.
type matrixRow struct {
	Source string
	Cells  []matrixCell
}

type matrixCell struct {
	Formats []formatRow
	Highest string
	None    bool // no way leads there
}

type formatRow struct{ Format, Verdict, Word, Limit string }

// placeView is a place with what stands there.
type placeView struct {
	Title   string
	Devices []deviceView
}

type deviceView struct {
	Name, Kind, Note string
	Facts            []string
	Ports            []string
}

type lampRow struct{ Device, Lamp, Looks, Means string }

type cableRow struct{ Title, From, To, About string }

func (s *Server) room(v *visit) error {
	x, err := s.sheet(v)
	if err != nil {
		return err
	}
	return s.render(v, "room", x.Title, s.roomPage(x))
}

// sheet is the one that the address names.
func (s *Server) sheet(v *visit) (*room.Sheet, error) {
	sheets, _ := s.sheets()
	for _, x := range sheets {
		if x.ID == v.r.PathValue("id") {
			return x, nil
		}
	}
	return nil, missing("There is no sheet of a room %q, or it has errors; the list of rooms names them.", v.r.PathValue("id"))
}

// visitPage is the list of a verification visit, to tick or to print.
type visitPage struct {
	ID, Title string
	Groups    []visitGroup
}

type visitGroup struct {
	Title string
	Items []room.Item
}

func (s *Server) roomVisit(v *visit) error {
	x, err := s.sheet(v)
	if err != nil {
		return err
	}
	report := room.Check(x)
	page := visitPage{ID: x.ID, Title: x.Title}
	for _, it := range room.List(s.desk().Book, x, &report) {
		n, title := len(page.Groups), strings.Replace(capital(it.Group), "Usb", "USB", 1)
		if n == 0 || page.Groups[n-1].Title != title {
			page.Groups = append(page.Groups, visitGroup{Title: title})
			n++
		}
		page.Groups[n-1].Items = append(page.Groups[n-1].Items, it)
	}
	return s.render(v, "visit", "Visit to "+x.Title, page)
}

func (s *Server) roomPage(x *room.Sheet) *roomPage {
	report := room.Check(x)
	p := &roomPage{Sheet: x, Counts: countsText(&report), Day: x.Surveyed.String()}
	for _, f := range report.Findings {
		p.Findings = append(p.Findings, newRoomFinding(f))
	}
	if len(x.Cables) > 0 {
		p.Picture = inlinePicture([]byte(draw.SVG(x)))
	}
	p.matrix(x, report.Matrix)
	p.places(x)
	for _, d := range x.Devices {
		for _, l := range d.Lamps {
			p.Lamps = append(p.Lamps, lampRow{capital(d.Name()), l.Name, strings.TrimSpace(l.Colour + " " + strings.ReplaceAll(l.Rhythm, "-", " ")), l.Means})
		}
	}
	for _, c := range x.Cables {
		title := capital(c.Title)
		if title == "" {
			title = c.ID
		}
		p.Cables = append(p.Cables, cableRow{title, portName(x, c.From), portName(x, c.To), cableText(c)})
	}
	return p
}

func newRoomFinding(f room.Finding) roomFinding {
	out := roomFinding{Level: string(f.Level), Text: capital(f.Text)}
	switch f.Level {
	case room.Error:
		out.Word = "Does not fit"
	case room.Warning:
		out.Word = "Tight"
	case room.Unknown:
		out.Word = "Not known"
	default:
		out.Word = "Note"
	}
	if f.Need > 0 && f.Limit > 0 {
		bar := newPartRow(measure.Part{Need: f.Need, Capacity: f.Limit, Unit: f.Unit, Judged: true, OK: f.Level != room.Error})
		out.Bar = &bar
	}
	for _, x := range f.Sources {
		out.Sources = append(out.Sources, item{ID: x.CheckValue, Text: "check value", Note: x.Words, Href: entryHref("value", x.CheckValue)})
	}
	return out
}

// matrix turns the cells into rows by source and columns by display.
func (p *roomPage) matrix(x *room.Sheet, cells []room.Cell) {
	column := map[string]int{}
	for _, c := range cells {
		if _, ok := column[c.Display]; !ok {
			column[c.Display] = len(p.Displays)
			p.Displays = append(p.Displays, deviceName(x, c.Display))
		}
	}
	row := map[string]int{}
	for _, c := range cells {
		i, ok := row[c.Source]
		if !ok {
			i = len(p.Matrix)
			row[c.Source] = i
			empty := make([]matrixCell, len(p.Displays))
			for j := range empty {
				empty[j].None = true
			}
			p.Matrix = append(p.Matrix, matrixRow{Source: deviceName(x, c.Source), Cells: empty})
		}
		cell := matrixCell{Highest: c.Highest, None: c.Routes == 0}
		for _, f := range c.Formats {
			cell.Formats = append(cell.Formats, formatRow{f.Format, string(f.Verdict), verdictWord(f.Verdict), f.Limit})
		}
		p.Matrix[i].Cells[column[c.Display]] = cell
	}
}

// deviceName is what people call the device with the id.
func deviceName(x *room.Sheet, id string) string {
	for i := range x.Devices {
		if x.Devices[i].ID == id {
			return capital(x.Devices[i].Name())
		}
	}
	return id
}

// portName words "device/port".
func portName(x *room.Sheet, name string) string {
	device, port, _ := strings.Cut(name, "/")
	for i := range x.Devices {
		if d := &x.Devices[i]; d.ID == device {
			for _, p := range d.Ports {
				if p.ID == port && p.Title != "" {
					port = p.Title
				}
			}
		}
	}
	return deviceName(x, device) + ", " + port
}

func cableText(c room.Cable) string {
	var list []string
	if c.Class != "" {
		list = append(list, c.Class)
	}
	if c.Length != nil {
		list = append(list, measure.Show(float64(*c.Length), "m", 2))
	}
	if c.Active {
		list = append(list, "active")
	}
	if c.Couplers > 0 {
		list = append(list, fmt.Sprintf("couplers: %d", c.Couplers))
	}
	if c.Gauge != "" {
		list = append(list, c.Gauge)
	}
	return strings.Join(list, ", ")
}

// places groups the devices by where they stand, in the order of the sheet.
func (p *roomPage) places(x *room.Sheet) {
	at := map[string]int{}
	for i := range x.Devices {
		d := &x.Devices[i]
		j, ok := at[d.Place]
		if !ok {
			j = len(p.Places)
			at[d.Place] = j
			title := x.Where(d)
			if title == "" {
				title = "Place not written"
			}
			p.Places = append(p.Places, placeView{Title: capital(title)})
		}
		p.Places[j].Devices = append(p.Places[j].Devices, newDeviceView(d))
	}
}

func newDeviceView(d *room.Device) deviceView {
	v := deviceView{Name: capital(d.Name()), Kind: strings.ReplaceAll(d.Kind, "-", " "), Note: d.Note}
	add := func(label, text string) {
		if text != "" {
			v.Facts = append(v.Facts, strings.TrimSpace(label+" "+text))
		}
	}
	if d.Copies > 1 {
		add("", fmt.Sprint(d.Copies, " alike"))
	}
	add("address", d.Address)
	add("HDCP", d.HDCP)
	add("", d.Hub)
	if d.Power != nil {
		add("fed by", d.Power.From)
	}
	if d.Control != nil {
		add("driven by", d.Control.By)
	}
	for _, p := range d.Ports {
		name := p.Title
		if name == "" {
			name = p.ID
		}
		v.Ports = append(v.Ports, strings.Join(strings.Fields(name+": "+p.Carries+" "+p.Way+" "+p.Class), " "))
	}
	return v
}
