package browser

import (
	"context"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// strokes presses and lets go of a key for each character. Other than
// chromedp.KeyEvent it sends the character with the press, as a keyboard does,
// so that a page which takes a key for a shortcut keeps it out of the field
// that gets the focus.
func strokes(text string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		for _, r := range text {
			list := kb.Encode(r)
			if len(list) == 3 {
				list[0].Text, list[0].UnmodifiedText = list[1].Text, list[1].UnmodifiedText
				list = []*input.DispatchKeyEventParams{list[0], list[2]}
			}
			for _, e := range list {
				if _, err := cdp.Call(ctx, t, input.DispatchKeyEvent, *e); err != nil {
					return err
				}
			}
		}
		return nil
	})
}
