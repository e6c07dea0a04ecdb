package browser

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// patience is the longest that one act may take before the test fails. It is
// long because tests of several packages share the processors.
const patience = 40 * time.Second

// Browser opens pages for one test, in the one Chromium of the test program.
type Browser struct {
	t   testing.TB
	ctx context.Context
}

// chromium is the one of the test program, started when the first test asks
// for it: starting one a test took half of the tests' time.
var chromium struct {
	once sync.Once
	ctx  context.Context
	err  error
	stop func() error
}

// Main runs the tests of a package and ends Chromium after them. It is what
// TestMain of a package calls that calls Start.
func Main(m *testing.M) {
	code := m.Run()
	if chromium.stop != nil {
		if err := chromium.stop(); err != nil {
			fmt.Fprintf(os.Stderr, "end chromium: %v\n", err)
		}
	}
	os.Exit(code)
}

// Start gives the test a browser whose pages close with the test.
func Start(t testing.TB) *Browser {
	t.Helper()
	chromium.once.Do(launch)
	if chromium.err != nil {
		t.Fatalf("start chromium: %v", chromium.err)
	}
	return &Browser{t: t, ctx: chromium.ctx}
}

// launch starts Chromium without a window and without talk to its maker.
func launch() {
	path, err := exec.LookPath("chromium")
	if err != nil {
		chromium.err = fmt.Errorf("%w; .ci/run installs it", err)
		return
	}
	profile, err := os.MkdirTemp("", "chromium")
	if err != nil {
		chromium.err = err
		return
	}
	options := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(path),
		chromedp.UserDataDir(profile),
		chromedp.NoFirstRun, chromedp.NoDefaultBrowserCheck, chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("headless", "new"),
	}
	for _, flag := range []string{"disable-quic", "disable-background-networking", "disable-component-update", "disable-sync",
		"disable-default-apps", "disable-extensions", "disable-dev-shm-usage", "disable-breakpad", "metrics-recording-only",
		"disable-background-timer-throttling", "disable-backgrounding-occluded-windows", "disable-renderer-backgrounding",
		"hide-scrollbars", "enable-automation", "mute-audio"} {
		options = append(options, chromedp.Flag(flag, true))
	}
	allocator, end := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, cancel := chromedp.NewContext(allocator)
	chromium.ctx = ctx
	chromium.stop = func() error {
		err := chromedp.Cancel(ctx)
		cancel()
		end()
		return errors.Join(err, os.RemoveAll(profile))
	}
	chromium.err = chromedp.Do(ctx)
}

// shotsFolder is where pictures go, "" for nowhere.
func shotsFolder() string { return os.Getenv("FAULTBOOK_SHOTS") }

func writeShot(t testing.TB, name string, data []byte) {
	t.Helper()
	if err := os.MkdirAll(shotsFolder(), 0o755); err != nil {
		t.Fatalf("make the folder of pictures: %v", err)
	}
	if err := os.WriteFile(filepath.Join(shotsFolder(), name), data, 0o644); err != nil {
		t.Fatalf("write a picture: %v", err)
	}
}
