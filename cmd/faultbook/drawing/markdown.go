package drawing

import (
	"fmt"
	"io"
	"strings"
)

// Markdown writes the tree as numbered steps under headings; each answer says
// which step to go to, so that it reads line by line.
func (t *Tree) Markdown(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s %s\n\n", escapeMarkdown(t.Symptom), escapeMarkdown(t.Title))
	b.WriteString(escapeMarkdown(strings.Join(t.summary(), " ")) + "\n\n")
	b.WriteString(escapeMarkdown(strings.Join(t.howTo(), " ")) + "\n")
	if len(t.Dangers) > 0 {
		b.WriteString("\n## Stop at once, whatever the step, and hand over to\n\n")
		for _, d := range t.Dangers {
			fmt.Fprintf(&b, "- %s\n", escapeMarkdown(d.text()))
		}
	}
	b.WriteString("\n## Steps\n")
	if !t.Root.isStep() {
		fmt.Fprintf(&b, "\n%s\n", escapeMarkdown(t.Root.end()))
	}
	for _, n := range t.steps() {
		markdownStep(&b, n)
	}
	if len(t.Cautions) > 0 {
		b.WriteString("\n## Cautions to read out first\n\n")
		for i, c := range t.Cautions {
			fmt.Fprintf(&b, "%d. %s\n", i+1, escapeMarkdown(c.text()))
		}
	}
	_, err := io.WriteString(w, plain(b.String()))
	return err
}

func markdownStep(b *strings.Builder, n *Node) {
	fmt.Fprintf(b, "\n### %d. %s: %s\n\n", n.Number, n.Kind.Word(), escapeMarkdown(n.Say))
	b.WriteString(escapeMarkdown(n.aboutAll()) + ".\n\n")
	for _, x := range n.Branches {
		to := fmt.Sprintf("go to %d", x.To.Number)
		if !x.To.isStep() {
			to = escapeMarkdown(x.To.end())
		}
		fmt.Fprintf(b, "- %s, %s: %s\n", escapeMarkdown(x.label()), percent(x.To.Share), to)
	}
}

// escapeMarkdown takes the meaning from the marks of Markdown and of HTML.
func escapeMarkdown(s string) string {
	var b strings.Builder
	for i, r := range s {
		if strings.ContainsRune("\\`*_[]<>#|~&", r) || i == 0 && strings.ContainsRune("+-=", r) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}
