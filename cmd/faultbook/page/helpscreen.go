package page

// helpScreen explains the keys and the page.
func (s *Server) helpScreen() screen {
	return screen{Path: "/help", Label: "Help", Routes: []route{{Pattern: "GET /help", Do: func(v *visit) error {
		return s.render(v, "help", "Help", nil)
	}}}}
}
