package page

import (
	"bytes"
	"fmt"
	"mime/multipart"
	"strings"
	"testing"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb/cases"
	"faultbook/kb/room"
)

// TestCallByForms takes the call of the handbook without any script: opening
// words, answers, remedy, ticket.
func TestCallByForms(t *testing.T) {
	a := newTestPage(t).agent(t)
	a.begin(deadTelly).wants(200, "“"+deadTelly+"”", "Likeliest now", "Cannot tell")
	for n := 0; !strings.Contains(a.body, "Next call"); n++ {
		if n == mostSteps {
			t.Fatalf("not done after %d steps: %s", n, a.text())
		}
		if _, id := a.step(); id == seatPlug {
			a.wants(200, "Caution.", "Defer to: IEC 62368-1", "Yes, it works now")
		}
		a.reply()
	}
	a.wants(200, "Good, it works again", "Mains plug out or wall socket switched off (PW-01)")
	e := a.page.events(t, a.id())
	if last := e[len(e)-1]; last.Tried == nil || last.Tried.Result != cases.Cured {
		t.Errorf("events %+v", e)
	}
}

// TestEveryInput sends each kind of input by its form.
func TestEveryInput(t *testing.T) {
	a := newTestPage(t).agent(t)
	a.begin("the screen is black")
	for _, step := range []struct {
		do     string
		fields []string
		wants  string
	}{
		{"say", []string{"text", "and there is a lamp, it is red"}, "“and there is a lamp, it is red”"},
		{"note", []string{"text", "caller is in a hurry"}, "caller is in a hurry"},
		{"meeting", []string{"text", "200"}, "meeting in <b data-clock=\"-1\""},
		{"who", []string{"value", "technician"}, "On the line: technician"},
		{"who", []string{"value", "caller"}, "On the line: caller"},
		{"symptom", []string{"value", "F-01"}, "No picture"},
		{"ask", []string{"id", "display-lamp", "value", "off"}, "volunteered"},
		{"ask", []string{"id", "display-lamp", "value", "unknown"}, "Cannot tell"},
		{"workaround", []string{"value", "works"}, "Undo the last step"},
		{"undo", nil, "Undo the last step"},
		{"handover", []string{"value", "visit"}, "Next call"},
		{"undo", nil, "Hand the fault over"},
		{"close", []string{"value", "", "text", "caller rang off"}, "caller rang off"},
	} {
		t.Run(step.do, func(t *testing.T) {
			a.t = t
			a.input(step.do, step.fields...).wants(200, step.wants)
		})
	}
}

func TestWhy(t *testing.T) {
	a := newTestPage(t).agent(t)
	a.begin("the telly is dead, there is no light on it at all")
	a.get(a.path+"?why=1").wants(200, "What each answer would change", "Likeliest then", "Which figures of the book")
	a.get("/call/"+a.id()+"?why=figures").wants(200, "of the book")
	if !strings.Contains(a.body, "No figure of the book, moved by one word") && !strings.Contains(a.body, "if one word of the book were another") {
		t.Error("the figures that the step hangs on are not shown")
	}
}

// TestRoom: where rooms have a sheet the call is told which it is, and says
// what the sheet says.
func TestRoom(t *testing.T) {
	sheet := &room.Sheet{ID: "lantern", Title: "Lantern room", Site: "pier"}
	a := newTestPage(t, func(o *Options) { o.Desk.Rooms = func() []*room.Sheet { return []*room.Sheet{sheet} } }).agent(t)
	a.begin("the screen is black")
	a.input("room", "value", "lantern").wants(200, "Room: <a href=\"/rooms/lantern\">Lantern room</a>", "Never surveyed")
	a.input("room", "value", "cellar").wants(422, "no sheet of room")
	if !strings.Contains(a.body, `<select id="room"`) {
		t.Error("one room is not offered to choose")
	}
	a.get("/call/"+a.id()).input("room", "value", "none").wants(200, "Which room")
}

// TestEndedCallsTeach: the program is told of a call that has ended, once, and
// what it learnt counts in the calls that begin afterwards.
func TestEndedCallsTeach(t *testing.T) {
	told := 0
	a := newTestPage(t, func(o *Options) {
		o.Ended = func(d *call.Desk, learnt func(*call.Desk)) {
			told++
			now := *d
			now.Counts = func(symptom, cause string) float64 {
				if symptom == "F-01" && cause == "PW-01" {
					return 500
				}
				return 0
			}
			learnt(&now)
		}
	}).agent(t)
	a.begin("the screen is black")
	a.input("symptom", "value", "F-01").wants(200)
	if strings.HasPrefix(likeliest(a), "Mains plug out") {
		t.Fatal("the cause is likeliest before anything was learnt")
	}
	a.input("close", "value", "PW-01").wants(200)
	a.input("note", "text", "after the end")
	a.begin("the screen is black again")
	a.input("symptom", "value", "F-01").wants(200)
	if told != 1 || !strings.HasPrefix(likeliest(a), "Mains plug out") {
		t.Errorf("told %d times; likeliest %q", told, likeliest(a))
	}
}

// likeliest is the first cause of the ranking.
func likeliest(a *agent) string {
	_, rest, _ := strings.Cut(a.body, "Likeliest now")
	_, rest, _ = strings.Cut(rest, `<span class="chance-name"><a `)
	_, rest, _ = strings.Cut(rest, ">")
	name, _, _ := strings.Cut(rest, "<")
	return name
}

// TestManyRooms: of a thousand rooms the name is typed; the page stays small.
func TestManyRooms(t *testing.T) {
	var sheets []*room.Sheet
	for i := range 1000 {
		sheets = append(sheets, &room.Sheet{ID: fmt.Sprintf("r%d", i), Title: fmt.Sprintf("Room with a long name number %d", i)})
	}
	a := newTestPage(t, func(o *Options) { o.Desk.Rooms = func() []*room.Sheet { return sheets } }).agent(t)
	a.begin("the screen is black").wants(200, `<input id="room"`)
	if len(a.body) > 60<<10 {
		t.Errorf("%d bytes", len(a.body))
	}
	a.input("room", "value", "r999").wants(200, "number 999")
}

// TestClock: the minutes go on while nobody presses a key.
func TestClock(t *testing.T) {
	now := time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)
	a := newTestPage(t, func(o *Options) {
		o.Now = func() time.Time { return now }
		o.Desk.Store = cases.NewStore(t.TempDir(), o.Now)
	}).agent(t)
	a.begin("the screen is black")
	a.input("meeting", "text", "90").wants(200, "meeting in <b data-clock=\"-1\" data-minutes=\"90.00\">90 min")
	now = now.Add(4 * time.Minute)
	a.get("/call/"+a.id()).wants(200, "data-minutes=\"4.00\">4 min</b> spent", "data-minutes=\"86.00\">86 min")
}

// TestStop: danger in the words stops the questions and offers the handover
// that fits alone.
func TestStop(t *testing.T) {
	a := newTestPage(t).agent(t)
	a.begin("the screen is smoking and it smells burnt")
	a.wants(200, `class="step kind-stop"`, "Caution.", "Hand over:")
	a.answer(1).wants(200, "Next call")
}

// TestBadInputs: what cannot be used changes nothing, and the page says why in
// plain words with the call as it stands.
func TestBadInputs(t *testing.T) {
	a := newTestPage(t).agent(t)
	a.begin("the screen is black")
	path := a.path
	for _, c := range []struct {
		do     string
		fields []string
		code   int
		wants  string
	}{
		{"ask", []string{"id", "no-such-question", "value", "x"}, 422, "no question"},
		{"ask", []string{"id", "display-lamp", "value", "no-such-answer"}, 422, "no answer"},
		{"meeting", []string{"text", "soon"}, 400, "is no number"},
		{"meeting", []string{"text", "-1"}, 422, "must be minutes"},
		{"meeting", []string{"text", "NaN"}, 400, "is no number"},
		{"say", []string{"text", "  "}, 400, "no words"},
		{"who", []string{"value", "root"}, 422, "caller or technician"},
		{"handover", []string{"value", "../../etc"}, 422, "no handover"},
		{"fly", nil, 400, "no input of a call"},
		{"read", []string{"value", "/etc/passwd"}, 400, "Choose a file, or paste"},
		{"read", []string{"text", "no tool prints this"}, 422, "Read pasted text"},
		{"sum-of", []string{"id", "no-such-sum", "in-x", "1"}, 422, "sum"},
	} {
		t.Run(c.do+c.wants, func(t *testing.T) {
			a.t, a.path = t, path
			a.input(c.do, c.fields...).wants(c.code, c.wants, "Known so far")
		})
	}
	if n := len(a.page.events(t, a.id())); n != 1 {
		t.Errorf("%d events after inputs that could not be used", n)
	}
}

func TestHear(t *testing.T) {
	a := newTestPage(t).agent(t)
	a.get("/")
	a.post("/hear", "text", "the telly is dead, no light on it").wants(200, "Sounds like", "No picture at all")
	a.post("/hear", "text", "").wants(200)
	if got := a.text(); got != "" {
		t.Errorf("empty words sound like %q", got)
	}
}

// TestEvidence: what a tool printed and what a sum gives come into the call, by
// paste, by file and by fields.
func TestEvidence(t *testing.T) {
	a := newTestPage(t).agent(t)
	a.begin("nothing on the network works at the table")
	a.input("read", "text", "100 packets transmitted, 87 received, 13% packet loss, time 99137ms\nrtt min/avg/max/mdev = 1.0/2.0/30.0/4.0 ms\n").wants(200, "pasted text", "Readings and sums")
	a.input("sum-of", "id", "dock", "in-rate", "HBR2", "in-lanes", "2", "in-picture", "2160p60, 1080p60").wants(200, "<b>dock</b>")
	e := a.page.events(t, a.id())
	if len(e) != 3 || e[1].Evidence == nil || e[2].Evidence == nil || e[2].Evidence.Name != "dock" {
		t.Fatalf("events %+v", e)
	}
	path := a.path
	a.upload(path+"/read", `..\..\ip<b>.txt`, "1: lo: <LOOPBACK,UP> mtu 65536\n2: eth0: <BROADCAST,MULTICAST,UP,LOWER_UP> mtu 1500 state UP\n    inet 169.254.7.9/16 scope link eth0\n").wants(200, "ip&lt;b&gt;.txt")
	if strings.Contains(a.body, "<b>.txt") {
		t.Error("the name of a file came back as markup")
	}
}

// upload sends a file for the call that is shown.
func (a *agent) upload(path, name, content string) *agent {
	a.t.Helper()
	var b bytes.Buffer
	form := multipart.NewWriter(&b)
	for _, f := range [][2]string{{"token", a.tok}, {"version", a.field("version")}, {"key", a.field("key")}, {"do", "read"}} {
		form.WriteField(f[0], f[1]) // into memory: never fails
	}
	part, _ := form.CreateFormFile("file", name)
	part.Write([]byte(content))
	form.Close()
	return a.took(a.http.Post(a.page.web.URL+path, form.FormDataContentType(), &b))
}

func TestRuler(t *testing.T) {
	meeting := 10.0
	got := newRuler(call.Minutes{Spent: 5, Expected: 15, Meeting: &meeting})
	if got.Spent != "25.0%" || got.Expected != "100.0%" || got.Meeting != "75.0%" || !got.Late {
		t.Errorf("%+v", got)
	}
}

// TestAnotherProgram: the case is also open in a terminal; the page notices
// what that wrote and loses nothing.
func TestAnotherProgram(t *testing.T) {
	a := newTestPage(t).agent(t)
	a.begin("the screen is black")
	other, err := a.page.opt.Desk.Store.Load(a.id())
	if err != nil {
		t.Fatal(err)
	}
	time.Sleep(20 * time.Millisecond) // file systems whose clocks are coarse
	if err := a.page.opt.Desk.Store.Append(other, cases.Event{Note: "from a terminal"}); err != nil {
		t.Fatal(err)
	}
	a.input("symptom", "value", "F-01").wants(409, "gone on in another window", "from a terminal")
	a.input("symptom", "value", "F-01").wants(200, "from a terminal")
}
