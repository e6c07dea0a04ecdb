// Package demo is a year of an invented ferry operator: the sheets of its
// twelve briefing rooms, with the weak spots that rooms have, and the calls that
// its helpdesk took. Nothing in it is real.
//
// The sheets are files; the calls are made up by dice with a fixed seed from
// the book's own rows, so that they fit the book as it stands: the causes are
// drawn as the sheet of each room lets expect them.
package demo

import (
	"embed"
)

// Sheets are the room sheets, in the folder rooms.
//
//go:embed rooms/*.yaml
var Sheets embed.FS

// FirstCall is a call about one of the rooms, to be played.
//
//go:embed first-call.yaml
var FirstCall []byte
