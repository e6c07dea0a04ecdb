package page

import (
	"encoding/json"
	"net/http"
	"sort"
	"strconv"
	"strings"
	"time"

	"faultbook/kb/cases"
)

// callsScreen lists the open calls and passes them from one agent to another.
func (s *Server) callsScreen() screen {
	return screen{Path: "/calls", Label: "Open calls", Routes: []route{
		{Pattern: "GET /calls", Do: s.listCalls},
		{Pattern: "POST /call/{id}/take", Do: s.takeCall},
		{Pattern: "POST /call/{id}/offer", Do: s.offerCall},
		{Pattern: "GET /live", Do: s.live},
		{Pattern: "POST /agent", Do: s.setAgent},
	}}
}

// callRow is an open call in the list.
type callRow struct {
	ID, Words, Opened, Holder string
	Minutes                   float64
	Mine, Free, Offered       bool
}

// scan looks for open cases among the newest files, at most once in a while.
func (c *calls) scan() {
	c.mutex.Lock()
	due := c.now().Sub(c.scanned) >= scanEvery
	if due {
		c.scanned = c.now()
	}
	c.mutex.Unlock()
	if !due {
		return
	}
	ids, err := c.desk().Store.IDs()
	if err != nil {
		return // the list then shows what is in memory
	}
	for _, id := range ids[max(0, len(ids)-lastCases):] {
		c.mutex.Lock()
		known := c.open[id] != nil || c.ended[id]
		c.mutex.Unlock()
		if known {
			continue
		}
		if file, err := c.desk().Store.Load(id); err == nil {
			c.adopt(id, file)
		}
	}
}

// adopt keeps a case that is open and remembers one that has ended.
func (c *calls) adopt(id string, file *cases.Case) {
	if !file.Ended() {
		c.keep(id, c.resume(file))
		return
	}
	c.mutex.Lock()
	defer c.mutex.Unlock()
	if len(c.ended) > 4*lastCases {
		clear(c.ended)
	}
	c.ended[id] = true
}

// all gives the calls in memory, oldest first.
func (c *calls) all() []*openCall {
	c.scan()
	c.mutex.Lock()
	defer c.mutex.Unlock()
	list := make([]*openCall, 0, len(c.open))
	for _, o := range c.open {
		list = append(list, o)
	}
	return list
}

// rows are the open calls for a browser: those that wait for somebody first,
// then the oldest.
func (c *calls) rows(v *visit) []callRow {
	var list []callRow
	for _, o := range c.all() {
		o.mutex.Lock()
		o.refresh(c.desk())
		if file := o.call.File(); !file.Ended() {
			list = append(list, o.row(v, c.now().Sub(file.Opened)))
		}
		o.mutex.Unlock()
	}
	sort.Slice(list, func(i, j int) bool {
		a, b := list[i], list[j]
		if a.Offered != b.Offered {
			return a.Offered
		}
		return a.ID < b.ID
	})
	return list
}

func (o *openCall) row(v *visit, age time.Duration) callRow {
	file := o.call.File()
	r := callRow{ID: file.ID, Opened: file.Opened.Format("2006-01-02 15:04"), Minutes: age.Minutes(), Holder: o.holderName(),
		Mine: o.holder == v.browser, Free: o.holder == "", Offered: o.offered}
	for _, e := range file.Effective() {
		if e.Say != "" {
			r.Words = e.Say
			break
		}
	}
	return r
}

// liveFor is how long counts are given out before they are counted anew: every
// browser asks for them every few seconds.
const liveFor = time.Second

// counts are the open calls and those that wait for somebody to take them.
func (c *calls) counts() (open, offered int) {
	c.counting.Lock()
	defer c.counting.Unlock()
	if c.now().Sub(c.counted) < liveFor {
		return c.openNow, c.offeredNow
	}
	for _, o := range c.all() {
		o.mutex.Lock()
		if !o.call.File().Ended() {
			open++
			if o.offered {
				offered++
			}
		}
		o.mutex.Unlock()
	}
	c.counted, c.openNow, c.offeredNow = c.now(), open, offered
	return open, offered
}

func (s *Server) listCalls(v *visit) error {
	data := map[string]any{"Rows": s.calls.rows(v)}
	if v.part() {
		return s.renderPart(v, http.StatusOK, "calls", "rows", data)
	}
	return s.render(v, "calls", "Open calls", data)
}

// takeCall gives a call to this browser, whoever had it before.
func (s *Server) takeCall(v *visit) error {
	return s.pass(v, func(o *openCall) error {
		o.take(v)
		return nil
	})
}

// offerCall puts the call of this browser up for others to take.
func (s *Server) offerCall(v *visit) error {
	return s.pass(v, func(o *openCall) error {
		if o.holder != "" && o.holder != v.browser {
			return problem{http.StatusConflict, o.holderName() + " has this call now."}
		}
		o.take(v)
		o.offered = v.value("value") != "no"
		return nil
	})
}

func (s *Server) pass(v *visit, change func(o *openCall) error) error {
	o, err := s.calls.get(v.r.PathValue("id"))
	if err != nil {
		return err
	}
	o.mutex.Lock()
	defer o.mutex.Unlock()
	err = change(o)
	if err == nil && !v.part() {
		return v.redirect("/call/" + o.call.ID())
	}
	return s.answerCall(v, o, err)
}

// alive is what a page asks for every few seconds.
type alive struct {
	Open    int    `json:"open"`
	Offered int    `json:"offered"`
	Version int    `json:"version"`
	Mine    bool   `json:"mine"`
	Holder  string `json:"holder"`
	Token   string `json:"token"`
}

// live tells how many calls are open and how the named one stands.
func (s *Server) live(v *visit) error {
	a := alive{Token: s.token(v.browser)}
	a.Open, a.Offered = s.calls.counts()
	if id := v.value("case"); id != "" {
		o, err := s.calls.get(id)
		if err != nil {
			return err
		}
		o.mutex.Lock()
		o.refresh(s.desk())
		a.Version, a.Mine, a.Holder = o.version(), o.holder == "" || o.holder == v.browser, o.holderName()
		o.mutex.Unlock()
	}
	v.w.Header().Set("Content-Type", "application/json")
	return json.NewEncoder(v.w).Encode(a)
}

// mostName is the longest name of an agent, in characters.
const mostName = 40

// cleanName drops what does not belong into a name.
func cleanName(name string) string {
	r := []rune(strings.TrimSpace(strings.Map(func(r rune) rune {
		if !strconv.IsPrint(r) {
			return -1
		}
		return r
	}, name)))
	return string(r[:min(len(r), mostName)])
}

// setAgent keeps the name that the agent goes by in the browser.
func (s *Server) setAgent(v *visit) error {
	setName(v.w, cleanName(v.value("name")))
	return v.redirect("/calls")
}
