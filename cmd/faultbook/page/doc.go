// Package page is the local web page: the third face of a call, beside the
// terminal and the JSON lines, and the screens for everything else. It holds
// no rules of the trade: package call says what the next step is.
//
// # How it is built
//
// Pages are made on this machine from html/template and work without any
// script. Small scripts of our own, one a purpose, make them quicker: they send
// a form by themselves and put the part of the answer that changed in its
// place, listen for keys, and keep what was typed while the connection is away.
// Templates, style sheet and scripts are embedded; nothing is built, nothing
// comes from elsewhere.
//
// A screen is a value of type screen in a file of its own: its name in the
// navigation, its routes, their handlers. A handler gets a visit and either
// renders a template or returns an error; a problem says which status and
// which words. To add a screen, write the file and its template and name it
// in Server.screens.
//
// # What a request passes
//
// In this order (guard.go): headers that forbid the browser all but our own
// files; the Host must be ours, so that a name that was pointed at this machine
// does not open it; the rate of the browser; the key of the desk, where
// the page is open to a network; for a request that changes something the same
// origin, a size limit and the token of the browser's session.
//
// # Calls
//
// The server keeps calls that were opened lately (book of open calls, calls.go),
// each behind its own lock; the truth is the case file, which is written after
// every input. A browser holds a call; another one can take it over and both
// see it. An input names the version of the call that it was made for (the
// number of events) and a key of its own: one that comes twice counts once, one
// that was made for an older state is not taken and shown again with plain
// words.
//
// # Limits
//
// Without TLS a network can read along: --listen on anything but this machine is for
// networks that are trusted. Who holds a call is known until the server ends.
package page
