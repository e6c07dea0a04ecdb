package page

import (
	"os"
	"path/filepath"
	"testing"

	"faultbook/cmd/faultbook/page/internal/browser"
)

// withRoom gives a site a room, and a sheet that cannot be read.
func withRoom(t *testing.T, s *site) {
	t.Helper()
	dir := filepath.Join(s.home, "rooms")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile("testdata/harbour.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string][]byte{"harbour.yaml": data, "broken.yaml": []byte("kind: room\nid: broken\n<script>")} {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// TestRooms opens a room from the list: the sums say that the grey lead does
// not carry 2160p60 (594 MHz in 340, check value H-001), that protected content
// is refused and that the camera gets too little current from the hub (500 mA
// of 100, check value U-006).
func TestRooms(t *testing.T) {
	s := newSite(t)
	p := browser.Start(t).Page(browser.Phone())
	p.Open(s.URL + "/rooms")
	p.WaitText("main", "No room has a sheet yet")
	withRoom(t, s)
	p.Open(s.URL + "/rooms")
	p.WaitText(".notice", "broken.yaml")
	p.Axe()
	p.Tap("a[href='/rooms/harbour']")
	p.WaitText("h1", "Harbour room")
	for _, text := range []string{"594 of 340 MHz, 175 %", "500 of 100 mA", "type 1", "a source is plugged in but sends nothing", "the lectern was turned", "<script>alert(1)</script>"} {
		p.WaitText("main", text)
	}
	p.Axe()
	p.Shot("room-picture")
	p.Print("room")
	p.Tap("a[href$='/visit']")
	p.WaitText("h1", "Visit to Harbour room")
	p.Axe()
}
