// Package room knows meeting rooms: the sheet of what stands in one, what
// follows from it by the sums of diagnose/measure, and what that means for a
// call about the room.
//
// # Words
//
//	sheet     one room in YAML: places, devices with ports, cables, plans, works
//	port      a socket of a device, named device/port: lectern-box/in-2
//	path      the ports and cables from one source to one display
//	finding   what a sum says of the room, with figures and the check value
//	feature   something that a room can have or not: a projector, network power
//	complete  a field of the sheet whose list is said to be whole
//
// # What is not written
//
// Every figure is optional. What is not written is unknown: a sum that needs
// it says "unknown" and names the missing figure; nothing is assumed good. A
// device counts as absent only where the sheet says that the list of its field
// is complete.
//
// # Trust
//
// A sheet ages: its facts are trusted the less the older the survey is (see
// Trust), and an answer of the caller always overrules the sheet.
//
// # Example
//
//	sheet, findings := room.Parse(data, "rooms/pier-4.yaml", files)
//	report := room.Check(sheet)
//	report.Findings[0].Text // "hall-display from lectern-laptop at 2160p60: …"
//
// # Limits
//
// Everything is pure: no clock (days are passed in), no network. Files beside
// the sheet (EDID dumps) are read through the fs.FS that is given.
//
//go:generate go run ./internal/schema
package room
