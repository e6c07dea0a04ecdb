package page

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"sort"
	"sync"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb/cases"
)

// Limits of what is kept of the calls; the case files hold everything.
const (
	mostOpen  = 400 // calls in memory
	mostKeys  = 64  // keys of inputs remembered for each call
	lastCases = 200 // newest case files that are looked at for open calls
	scanEvery = 10 * time.Second
)

// calls are the calls that were opened lately. Each has a lock of its own, so
// that one agent never waits for another.
type calls struct {
	desk func() *call.Desk // the book may be read anew
	now  func() time.Time

	mutex   sync.Mutex // over open, scanned, ended
	open    map[string]*openCall
	scanned time.Time
	ended   map[string]bool // case files that were seen to have ended

	counting            sync.Mutex // over the counts that were given out last
	counted             time.Time
	openNow, offeredNow int

	beginning sync.Mutex        // over begun
	begun     map[string]string // key of a first input to the case that it opened
}

// openCall is a call with who holds it.
type openCall struct {
	mutex   sync.Mutex
	call    *call.Call
	disk    os.FileInfo // of the case file when it was last read or written
	state   call.Out
	stateAt int // events that state was computed from, -1 for never
	keys    []string
	whyAt   int // one more than the events that the long reasons were computed from
	why     []call.Row
	sways   []call.Sway
	swayed  bool
	holder  string // session of the browser that has it, "" for nobody
	name    string // of that agent
	offered bool
	used    time.Time // guarded by calls.mutex
}

func newCalls(desk func() *call.Desk, now func() time.Time) *calls {
	return &calls{desk: desk, now: now, open: map[string]*openCall{}, ended: map[string]bool{}, begun: map[string]string{}}
}

// begin opens a case for the browser; the same key opens one only.
func (c *calls) begin(words, who string, v *visit) (*openCall, error) {
	key := v.browser + " " + v.value("key") + " " + words
	c.beginning.Lock()
	defer c.beginning.Unlock()
	if id := c.begun[key]; id != "" && v.value("key") != "" {
		return c.get(id)
	}
	made, err := call.New(c.desk(), words, who)
	if err != nil {
		return nil, fmt.Errorf("open a case: %w", err)
	}
	o := &openCall{call: made, stateAt: -1, holder: v.browser, name: v.agent}
	o.look()
	if len(c.begun) >= mostOpen {
		clear(c.begun)
	}
	c.begun[key] = made.ID()
	return c.keep(made.ID(), o), nil
}

// get gives the call with the id, from memory or from its file.
func (c *calls) get(id string) (*openCall, error) {
	c.mutex.Lock()
	o := c.open[id]
	if o != nil {
		o.used = c.now()
	}
	c.mutex.Unlock()
	if o != nil {
		return o, nil
	}
	file, err := c.desk().Store.Load(id)
	if err != nil {
		return nil, missing("There is no case %q here, or its file cannot be read.", id)
	}
	return c.keep(id, c.resume(file)), nil
}

func (c *calls) resume(file *cases.Case) *openCall {
	o := &openCall{call: call.Resume(c.desk(), file), stateAt: -1}
	o.look()
	return o
}

// keep puts a call into memory; of two that were read at once the first stays.
func (c *calls) keep(id string, o *openCall) *openCall {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	if other := c.open[id]; other != nil {
		return other
	}
	if len(c.open) >= mostOpen {
		c.dropOldest()
	}
	o.used = c.now()
	c.open[id] = o
	return o
}

// dropOldest forgets the quarter that was not used for longest. A handler that
// still has one of them writes through its own copy; the store notices if the
// file was changed meanwhile.
func (c *calls) dropOldest() {
	ids := make([]string, 0, len(c.open))
	for id := range c.open {
		ids = append(ids, id)
	}
	sort.Slice(ids, func(i, j int) bool { return c.open[ids[i]].used.Before(c.open[ids[j]].used) })
	for _, id := range ids[:len(ids)/4+1] {
		delete(c.open, id)
	}
}

// look remembers how the case file stands.
func (o *openCall) look() {
	if info, err := os.Stat(o.call.Path()); err == nil {
		o.disk = info
	}
}

// refresh reads the case again where another program wrote it. The lock is
// held.
func (o *openCall) refresh(desk *call.Desk) {
	info, err := os.Stat(o.call.Path())
	if err != nil || o.disk != nil && info.ModTime().Equal(o.disk.ModTime()) && info.Size() == o.disk.Size() {
		return
	}
	if file, err := desk.Store.Load(o.call.ID()); err == nil {
		o.call, o.stateAt, o.disk = call.Resume(desk, file), -1, info
	}
}

// version counts the events; it grows with every input.
func (o *openCall) version() int { return len(o.call.File().Events) }

// out is the state, computed once a version. The lock is held.
func (o *openCall) out() (call.Out, error) {
	if o.stateAt == o.version() {
		return o.state, nil
	}
	out, err := o.call.Out()
	if err == nil {
		o.state, o.stateAt = out, o.version()
	}
	return out, err
}

// input is what a browser sends for a call.
type input struct {
	in      call.In
	file    *attached // evidence, where the input is that
	version int       // of the call that it was made for
	key     string    // of this one input, "" where there is none
	anyTime bool      // holds in any state and from anybody: words and notes
}

// attached is an evidence file.
type attached struct {
	name string
	data []byte
}

// errMoved says that the call has gone on since the page was made.
var errMoved = problem{http.StatusConflict, "The call has gone on in another window since this page was made, so this was not taken. Here is how it stands now."}

// do takes an input for a browser. Whatever cannot be taken changes nothing.
// The lock is held.
func (o *openCall) do(desk *call.Desk, v *visit, p input) error {
	o.refresh(desk)
	name, err := p.name()
	if err != nil {
		return err
	}
	if o.seen(name, p) {
		return nil
	}
	mine := o.holder == "" || o.holder == v.browser
	if !mine && !p.anyTime {
		return problem{http.StatusConflict, fmt.Sprintf("%s has this call now, so this was not taken. Take the call over to go on with it.", o.holderName())}
	}
	if !p.anyTime && p.version != o.version() {
		return errMoved
	}
	var out call.Out
	if p.file != nil {
		out, err = o.call.Attach(p.file.name, "", p.file.data)
	} else {
		out, err = o.call.Do(p.in)
	}
	if err != nil {
		return problem{http.StatusUnprocessableEntity, sentence(err.Error())}
	}
	o.state, o.stateAt = out, o.version()
	if o.call.File().Ended() { // lets go of its model, which is large
		o.call = call.Resume(desk, o.call.File())
	}
	o.look()
	if mine {
		o.take(v)
	}
	if name != "" {
		o.keys = append(o.keys, name)
		o.keys = o.keys[max(0, len(o.keys)-mostKeys):]
	}
	return nil
}

// name tells one input from another: its key with what it says, because all
// forms of a page carry the same key.
func (p input) name() (string, error) {
	if p.key == "" {
		return "", nil
	}
	data, err := json.Marshal(p.in)
	if err != nil {
		return "", fmt.Errorf("name the input: %w", err)
	}
	if p.file != nil {
		sum := sha256.Sum256(p.file.data)
		data = sum[:]
	}
	return p.key + " " + string(data), nil
}

// seen reports whether the input was taken before: by its key, or, for words
// that are sent again after the program was started anew, because they are the
// last that were said.
func (o *openCall) seen(name string, p input) bool {
	for _, k := range o.keys {
		if k == name && name != "" {
			return true
		}
	}
	events := o.call.File().Events
	if !p.anyTime || len(events) == 0 {
		return false
	}
	last := events[len(events)-1]
	return p.in.Say != "" && last.Say == p.in.Say || p.in.Note != "" && last.Note == p.in.Note
}

// holderName is who has the call, for people.
func (o *openCall) holderName() string {
	switch {
	case o.holder == "":
		return ""
	case o.name == "":
		return "Another agent"
	}
	return o.name
}

// take gives the call to a browser.
func (o *openCall) take(v *visit) {
	o.holder, o.name, o.offered = v.browser, v.agent, false
}
