package browser

import (
	"context"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// Options are what a page is looked at with.
type Options struct {
	// Width and Height of the window in CSS pixels.
	Width, Height int64
	// Zoom of the whole page, as a person sets it; 1 where 0. At 2 the page has
	// half the room.
	Zoom float64
	// Touch is a finger in the place of a mouse.
	Touch bool
	// Dark and Contrast are what the person's system prefers.
	Dark, Contrast bool
	// NoScript switches the page's scripts off.
	NoScript bool
}

// Desk is an agent's window.
func Desk() Options { return Options{Width: 1280, Height: 800} }

// Phone is a technician's telephone: 360 pixels and a thumb.
func Phone() Options { return Options{Width: 360, Height: 740, Touch: true} }

// InDark is the same on a dark system.
func (o Options) InDark() Options {
	o.Dark = true
	return o
}

// apply sets all of it up in a new tab.
func (o Options) apply(ctx context.Context) error {
	zoom := o.Zoom
	if zoom == 0 {
		zoom = 1
	}
	return chromedp.Do(ctx, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		if _, err := cdp.Call(ctx, t, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
			Width: int64(float64(o.Width) / zoom), Height: int64(float64(o.Height) / zoom), DeviceScaleFactor: zoom, Mobile: o.Touch,
		}); err != nil {
			return err
		}
		if _, err := cdp.Call(ctx, t, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: o.Touch}); err != nil {
			return err
		}
		if _, err := cdp.Call(ctx, t, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: o.NoScript}); err != nil {
			return err
		}
		return o.media(ctx, t, "")
	}))
}

// media sets what the person prefers, and screen ("") or print.
func (o Options) media(ctx context.Context, t *chromedp.Target, kind string) error {
	_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: kind, Features: []*emulation.MediaFeature{
		{Name: "prefers-color-scheme", Value: either(o.Dark, "dark", "light")},
		{Name: "prefers-contrast", Value: either(o.Contrast, "more", "no-preference")},
		{Name: "prefers-reduced-motion", Value: "reduce"},
	}})
	return err
}

// Prefer changes what the person prefers while the page is open: a dark
// screen, high contrast.
func (p *Page) Prefer(dark, contrast bool) {
	p.t.Helper()
	p.do("change the colours", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		return Options{Dark: dark, Contrast: contrast}.media(ctx, t, "")
	}))
}

// OnPaper shows the page as it is printed, or on the screen again.
func (p *Page) OnPaper(on bool) {
	p.t.Helper()
	p.do("change to paper", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		return Options{}.media(ctx, t, either(on, "print", ""))
	}))
}

func either(yes bool, a, b string) string {
	if yes {
		return a
	}
	return b
}
