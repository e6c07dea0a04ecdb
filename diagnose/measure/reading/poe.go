package reading

import (
	"fmt"
	"regexp"
	"strings"
)

// PoE is a switch's table of ports that feed devices.
type PoE struct {
	Ports []PoEPort `json:"ports"`
	// Watts of the whole switch; nil where the text does not state them.
	BudgetW *float64 `json:"budget_w"`
	UsedW   *float64 `json:"used_w"`
	LeftW   *float64 `json:"left_w"`
}

// PoEPort is one line of the table.
type PoEPort struct {
	Port   string   `json:"port"`
	Admin  string   `json:"admin"`
	Status string   `json:"status"`
	Class  *int     `json:"class"`
	PowerW *float64 `json:"power_w"`
	LimitW *float64 `json:"limit_w"`
	Device string   `json:"device"`
	// Delivers and Refused sort the words that switches use for a status.
	Delivers bool `json:"delivers"`
	Refused  bool `json:"refused"`
}

// classSupplyW is what the supply must have for a class (check values section
// 5, read: two public tables of IEEE 802.3bt classes; class 0 counts as 3).
var classSupplyW = [...]float64{15.4, 4, 7, 15.4, 30, 45, 60, 75, 90}

const srcPoETable = "read: two public tables of IEEE 802.3bt power classes"

type poeColumn int

const (
	poeNone poeColumn = iota
	poePort
	poeAdmin
	poeStatus
	poeClass
	poePower
	poeLimit
	poeDevice
)

// poeWords are the words of column headings, the more telling first.
var poeWords = []struct {
	column poeColumn
	words  []string
}{
	{poeLimit, []string{"limit", "max", "alloc", "budget", "reserved"}},
	{poeClass, []string{"class"}},
	{poePort, []string{"port", "interface", "intf"}},
	{poeAdmin, []string{"admin", "enable", "config", "mode"}},
	{poeStatus, []string{"oper", "status", "state", "detect"}},
	{poePower, []string{"power", "watt", "(w)", "(mw)", "draw", "consum", "used", "output"}},
	{poeDevice, []string{"device", "descr", "type", "label", "name"}},
}

func headingOf(cell string) poeColumn {
	low := strings.ToLower(cell)
	for _, w := range poeWords {
		for _, word := range w.words {
			if strings.Contains(low, word) {
				return w.column
			}
		}
	}
	return poeNone
}

// cells cuts a line at tabs, commas, bars or two and more spaces; a line that
// has none of these at its spaces.
func cells(line string) []string {
	parts := strings.FieldsFunc(line, func(c rune) bool { return c == '\t' || c == ',' || c == '|' || c == ';' })
	if len(parts) < 3 {
		parts = manySpaces.Split(strings.TrimSpace(line), -1)
	}
	if len(parts) < 3 {
		parts = strings.Fields(line)
	}
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
	}
	return parts
}

var (
	manySpaces = regexp.MustCompile(` {2,}`)
	portCell   = regexp.MustCompile(`^(?i)(?:[a-z-]*\d+)(?:[/.:-]\d+)*$|^(?i)port ?\d+$`)
	powerBank  = regexp.MustCompile(`(?i)\b(available|budget|capacity|used|consumed|consumption|remaining|left)\b[^\d\n]{0,24}?([\d.]+)\s*\(?(m?w)`)
)

// readPoE looks for a heading with a port and a power or class column, and
// reads the lines under it.
func readPoE(t *text) *Reading {
	p := PoE{Ports: []PoEPort{}}
	first := 0
	var columns []poeColumn
	scale := 1.0
	for i, line := range t.lines {
		if found, milli, ok := poeHeading(line); ok {
			columns, scale = found, 1
			if milli {
				scale = 1e-3
			}
			continue
		}
		p.bank(line)
		if columns == nil {
			continue
		}
		if strings.Contains(strings.ToLower(line), "(mw)") {
			scale = 1e-3
			continue
		}
		if port, ok := poeRow(columns, cells(line), scale); ok {
			p.Ports = append(p.Ports, port)
			if first == 0 {
				first = i + 1
			}
		}
	}
	if len(p.Ports) == 0 {
		return nil
	}
	r := newReading(KindPoE, "", first)
	poeFacts(r, &p)
	r.Decoded = p
	return r
}

// poeHeading reads a heading; milli says that its figures are milliwatts.
func poeHeading(line string) (columns []poeColumn, milli, ok bool) {
	have := map[poeColumn]bool{}
	for _, cell := range cells(line) {
		if digits := strings.IndexAny(cell, "0123456789"); digits >= 0 {
			return nil, false, false
		}
		c := headingOf(cell)
		if have[c] {
			c = poeNone // the first of its kind counts
		}
		have[c] = true
		columns = append(columns, c)
		milli = milli || strings.Contains(strings.ToLower(cell), "mw")
	}
	ok = len(columns) >= 3 && have[poePort] && (have[poePower] || have[poeClass] && have[poeStatus])
	return columns, milli, ok
}

// poeRow reads one line under a heading.
func poeRow(columns []poeColumn, row []string, scale float64) (PoEPort, bool) {
	if len(row) < 3 || len(row) > len(columns)+1 {
		return PoEPort{}, false
	}
	var p PoEPort
	for i, cell := range row {
		if i >= len(columns) {
			break
		}
		switch columns[i] {
		case poePort:
			p.Port = cell
		case poeAdmin:
			p.Admin = cell
		case poeStatus:
			p.Status = cell
		case poeClass:
			if v, ok := decimal(strings.TrimPrefix(strings.ToLower(cell), "class ")); ok && v >= 0 && v <= 8 {
				c := int(v)
				p.Class = &c
			}
		case poePower:
			p.PowerW = watts(cell, scale)
		case poeLimit:
			p.LimitW = watts(cell, scale)
		case poeDevice:
			p.Device = cell
		}
	}
	p.sortStatus()
	return p, portCell.MatchString(p.Port)
}

func watts(cell string, scale float64) *float64 {
	v, ok := decimal(cell)
	if !ok {
		return nil
	}
	if strings.HasSuffix(strings.ToLower(cell), "mw") {
		scale = 1e-3
	}
	v *= scale
	return &v
}

func (p *PoEPort) sortStatus() {
	low := strings.ToLower(p.Status)
	for _, word := range []string{"fault", "den", "overload", "short", "err", "refus", "insufficient"} {
		p.Refused = p.Refused || strings.Contains(low, word)
	}
	if p.Refused {
		return
	}
	for _, word := range []string{"deliver", "powered", "supply"} {
		p.Delivers = p.Delivers || strings.Contains(low, word)
	}
	p.Delivers = p.Delivers || low == "on" || low == "up" || low == "active" || p.PowerW != nil && *p.PowerW > 0
}

// bank reads statements on the whole switch: budget, used, left.
func (p *PoE) bank(line string) {
	for _, m := range powerBank.FindAllStringSubmatch(line, -1) {
		v, ok := decimal(m[2])
		if !ok {
			continue
		}
		if strings.EqualFold(m[3], "mw") {
			v /= 1000
		}
		switch strings.ToLower(m[1]) {
		case "available", "budget", "capacity":
			p.BudgetW = &v
		case "remaining", "left":
			p.LeftW = &v
		default:
			p.UsedW = &v
		}
	}
}

func poeFacts(r *Reading, p *PoE) {
	sum, delivering, refused := 0.0, 0, []string{}
	for _, port := range p.Ports {
		if port.PowerW != nil {
			sum += *port.PowerW
		}
		if port.Delivers {
			delivering++
		}
		if port.Refused {
			refused = append(refused, port.Port)
		}
		poePortRemark(r, port)
	}
	if p.UsedW == nil {
		p.UsedW = &sum
	}
	if p.LeftW == nil && p.BudgetW != nil {
		left := *p.BudgetW - *p.UsedW
		p.LeftW = &left
	}
	r.fact(PoEUsed, *p.UsedW, "W", "%.4g W delivered", *p.UsedW)
	if p.BudgetW != nil {
		r.fact(PoEBudget, *p.BudgetW, "W", "%.4g W in all", *p.BudgetW)
	}
	if p.LeftW != nil {
		r.fact(PoELeft, *p.LeftW, "W", "%.4g W left", *p.LeftW)
		if *p.LeftW < classSupplyW[3] {
			r.remark("N-025", srcPractice, "%.4g W left, a class 3 device needs 15.4 W: the next device plugged in may stay dark", *p.LeftW)
		}
	}
	r.fact(PoEDelivering, delivering, "", "%s of %d deliver power", plural(delivering, "port"), len(p.Ports))
	r.fact(PoERefused, len(refused), "", "%s with power refused or cut off", plural(len(refused), "port"))
	if len(refused) > 0 {
		r.remark("N-025", srcPractice, "power refused or cut off on %s: budget used up, a device that asks for more than its port may give, or a fault in cable or device",
			strings.Join(refused, ", "))
	}
	for _, port := range p.Ports {
		r.row("port "+port.Port, "%s", port.summary())
	}
}

// poePortRemark compares a port with the class of its device.
func poePortRemark(r *Reading, p PoEPort) {
	if p.Class == nil || *p.Class >= len(classSupplyW) {
		return
	}
	supply := classSupplyW[*p.Class]
	if p.LimitW != nil && *p.LimitW > 0 && *p.LimitW < supply && p.Delivers {
		r.remark("N-019", srcPoETable, "port %s: its device is class %d (%g W), the port gives %g W: it may run with parts switched off or restart", p.Port, *p.Class, supply, *p.LimitW)
	}
	if p.PowerW != nil && *p.PowerW > supply {
		r.remark("N-019", srcPoETable, "port %s delivers %.4g W, more than the %g W of class %d", p.Port, *p.PowerW, supply, *p.Class)
	}
}

func (p PoEPort) summary() string {
	parts := nonEmpty(p.Status, p.Device)
	if p.Class != nil {
		parts = append(parts, fmt.Sprintf("class %d", *p.Class))
	}
	if p.PowerW != nil {
		parts = append(parts, fmt.Sprintf("%.4g W", *p.PowerW))
	}
	if p.LimitW != nil {
		parts = append(parts, fmt.Sprintf("at most %.4g W", *p.LimitW))
	}
	return strings.Join(parts, ", ")
}
