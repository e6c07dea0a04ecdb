package page

// helpScreen explains the keys and the page.
func (s *Server) helpScreen() screen {
	return screen{Path: "/help", Label: "Help", Routes: []route{{Pattern: "GET /help", Do: func(v *visit) error {
		return s.render(v, "help", "Help", callKeys())
	}}}}
}

// keyHelp is a key with what it does.
type keyHelp struct{ Key, Does string }

// callKeys are the single keys of a call; they are those of the terminal.
func callKeys() []keyHelp {
	return []keyHelp{
		{"1 – 9", "Answer"},
		{"0", "Cannot tell"},
		{"y", "Yes to the first fact that was heard"},
		{"t", "More of the caller’s words"},
		{"?", "What each answer would change"},
		{"u", "Undo"},
		{"c", "All causes"},
		{"f", "What is known, each to be changed"},
		{"w", "Get the meeting going without the cure"},
		{"h", "Hand the fault over"},
		{"n", "Note"},
		{"m", "Minutes until the meeting"},
		{"p", "Who is on the line"},
		{"o", "Which room it is, where rooms have a sheet"},
		{"r", "Read a file"},
		{"x", "Do the sum of this step"},
		{"s", "Set the symptom"},
		{"g", "Pass the call on to a colleague"},
		{"e", "End the call"},
		{"k", "Ticket so far"},
		{"Esc", "Leave a field"},
	}
}
