package browser

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// patience is the longest that one act may take before the test fails. It is
// long because tests of several packages share the processors.
const patience = 40 * time.Second

// Browser is one running Chromium. It ends with the test that started it.
type Browser struct {
	t   testing.TB
	ctx context.Context
}

// Start runs Chromium for a test.
func Start(t testing.TB) *Browser {
	t.Helper()
	path, err := exec.LookPath("chromium")
	if err != nil {
		t.Fatalf("chromium is needed: %v; .ci/run installs it", err)
	}
	options := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(path),
		chromedp.UserDataDir(t.TempDir()),
		chromedp.NoFirstRun, chromedp.NoDefaultBrowserCheck, chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("headless", "new"),
	}
	for _, flag := range []string{"disable-quic", "disable-background-networking", "disable-component-update", "disable-sync",
		"disable-default-apps", "disable-extensions", "disable-dev-shm-usage", "disable-breakpad", "metrics-recording-only",
		"disable-background-timer-throttling", "disable-backgrounding-occluded-windows", "disable-renderer-backgrounding",
		"hide-scrollbars", "enable-automation", "mute-audio"} {
		options = append(options, chromedp.Flag(flag, true))
	}
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, cancel := chromedp.NewContext(allocator)
	t.Cleanup(func() {
		if err := chromedp.Cancel(ctx); err != nil {
			t.Logf("end chromium: %v", err)
		}
		cancel()
		stop()
	})
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("start chromium: %v", err)
	}
	return &Browser{t: t, ctx: ctx}
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
