// Package cases keeps calls. A case is one call: a header and the events of
// the call in their order; everything that is shown of it is computed from
// them.
//
// A case lies in a file of its own, one JSON object a line, readable by hand:
// the header first, then one event a line, each with its check sum (crc.go). The file is written anew after
// every event (see WriteFile), so a power cut loses at most the answer that
// was being typed, and the old or the new file is whole, never a mixture.
//
//	{"faultbook_case":1,"id":"20261125-130723-kbtz","opened":"2026-11-25T13:07:23Z"}
//	{"at":"2026-11-25T13:07:23Z","say":"the screen is black"}
//	{"at":"2026-11-25T13:07:51Z","answer":{"question":"display-lamp","value":"off"}}
//
// Limits: a file holds at most 1 MiB and 10,000 events.
package cases
