package page

import (
	"fmt"
	"math/rand/v2"
	"os"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// Bounds of the load test. Times are those of the whole answer to an input.
const (
	loadGrowth = 0.20 // of memory, from the second fifth of the time to the last
	loadShort  = 4 * time.Second
)

// TestLoad lets fifty agents take calls at once: no request fails, memory does
// not grow, nothing goes on running afterwards. FAULTBOOK_LOAD=10m makes it
// last, prints the times and bounds the growth; without it only faults and
// leaks are held, because a few seconds tell nothing of growth.
func TestLoad(t *testing.T) {
	long := loadShort
	asked := os.Getenv("FAULTBOOK_LOAD")
	if asked != "" {
		var err error
		if long, err = time.ParseDuration(asked); err != nil {
			t.Fatal(err)
		}
	}
	before := runtime.NumGoroutine()
	p := newTestPage(t)
	l := &load{page: p, until: time.Now().Add(long), think: min(time.Second, long/20)}
	var wait sync.WaitGroup
	for i := range fifty {
		wait.Go(func() { l.work(t, i) })
	}
	time.Sleep(long / 4)
	warm := heapOver(long / 5)
	time.Sleep(long * 3 / 10)
	end := heapOver(long / 5)
	wait.Wait()
	t.Logf("%d calls, %d inputs, p50 %v, p95 %v, most %v; live %.1f MB early, %.1f MB late",
		l.calls, len(l.times), l.at(.50), l.at(.95), l.at(1), warm, end)
	if asked != "" && end > warm*(1+loadGrowth) {
		t.Errorf("memory grew from %.1f to %.1f MB", warm, end)
	}
	if l.calls < fifty {
		t.Errorf("%d calls: some agent took none", l.calls)
	}
	p.web.Close()
	settled(t, before)
}

// heapOver is the mean of the memory in use over a while.
func heapOver(while time.Duration) float64 {
	const looks = 5
	sum := 0.0
	for range looks {
		time.Sleep(while / looks)
		sum += heap()
	}
	return sum / looks
}

// heap is the memory in use after what is garbage is gone, in MB.
func heap() float64 {
	runtime.GC()
	runtime.GC() // what finalizers let go of
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return float64(m.HeapAlloc) / (1 << 20)
}

// settled fails unless the goroutines come back to as many as there were.
func settled(t *testing.T, before int) {
	t.Helper()
	for range 50 {
		if runtime.NumGoroutine() <= before+2 { // the book's own readers start once
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	buf := make([]byte, 1<<16)
	t.Errorf("%d goroutines, %d before:\n%s", runtime.NumGoroutine(), before, buf[:runtime.Stack(buf, true)])
}

type load struct {
	page  *testPage
	until time.Time
	think time.Duration // between two inputs of an agent, on average
	mutex sync.Mutex    // over the rest
	calls int
	times []time.Duration
}

var openings = []string{"the telly is dead, there is no light on it at all", "no picture on the screen", "they cannot hear us in the call",
	"the camera is not found on my laptop", "the sound crackles", "it says no signal", "the touch panel does not react", "only 30 hertz on the big display"}

// work takes calls until the time is over, as an agent would.
func (l *load) work(t *testing.T, i int) {
	r := rand.New(rand.NewPCG(uint64(i), 7))
	a := l.page.agent(t)
	defer a.http.CloseIdleConnections()
	answers := regexp.MustCompile(`data-key="([1-9])"`)
	for first := true; first || time.Now().Before(l.until); first = false {
		words := openings[r.IntN(len(openings))]
		a.get("/")
		a.post("/hear", "text", words[:len(words)/2])
		a.post("/hear", "text", words).wants(200)
		a.begin(words)
		id := a.id()
		for range 12 {
			if time.Now().After(l.until) {
				break
			}
			time.Sleep(time.Duration(r.Float64() * 2 * float64(l.think)))
			form := regexp.MustCompile(`(?s)<form[^>]*class="answers.*?</form>`).FindString(a.body)
			keys := answers.FindAllStringSubmatch(form, -1)
			if len(keys) == 0 {
				break
			}
			begun := time.Now()
			a.answer(1 + r.IntN(len(keys))).wants(200)
			l.took(time.Since(begun))
			body := a.body
			a.liveOf(id)
			a.path, a.body = "/call/"+id, body
		}
		if strings.Contains(a.body, "End and write the ticket") {
			a.input("close", "value", "", "text", fmt.Sprintf("load %d", i)).wants(200)
		}
		l.mutex.Lock()
		l.calls++
		l.mutex.Unlock()
	}
}

func (l *load) took(d time.Duration) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	l.times = append(l.times, d)
}

// at is the time that the share of inputs stayed below.
func (l *load) at(share float64) time.Duration {
	if len(l.times) == 0 {
		return 0
	}
	slices.Sort(l.times)
	return l.times[int(share*float64(len(l.times)-1))].Round(100 * time.Microsecond)
}
