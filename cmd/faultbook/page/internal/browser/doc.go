// Package browser drives a real Chromium for tests of the page: headless,
// from Go, each page in a profile of its own as another person's browser
// would be.
//
// # What every page is held to
//
// Whatever a test does, it fails if the page asks anything of another machine,
// writes an error to the console (a breach of the content security policy is
// one) or throws. Axe checks the page as it stands against WCAG 2.2 A and AA
// and the best practices of axe-core. Shot writes a picture for a person to
// look at into the folder that FAULTBOOK_SHOTS names, and nothing without it.
//
// # A worked example
//
//	b := browser.Start(t)
//	p := b.Page(browser.Phone())
//	p.Open(server.URL + "/find")
//	p.Type("#words", "no picture")
//	p.WaitText("#hits", "No picture at all")
//	p.Axe()
//	p.Shot("find-phone")
//
// # Limits
//
// Chromium must be installed; a test fails without it. Requests are those that
// the page causes; what the browser does for itself is switched off by flags
// and not seen.
package browser
