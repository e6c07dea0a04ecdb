package index

// nearest gives the known word that a word was probably meant to be: one slip
// from four letters on, two from eight, the first letter right, swapped with the
// second, or k for c. Of several the nearest, then the one that the book uses most,
// then the first by the alphabet. Empty where there is none.
func (lx *lexicon) nearest(text string) string {
	if len(text) < 4 || isDigit(text[0]) {
		return ""
	}
	allowed := 1
	if len(text) >= 8 {
		allowed = 2
	}
	best, bestDistance, bestCount := "", allowed+1, 0
	for _, first := range firstLetters(text) {
		for size := len(text) - allowed; size <= len(text)+allowed; size++ {
			for _, known := range lx.shapes[shape{first, size}] {
				if first == text[1] && first != text[0] && known[1] != text[0] {
					continue
				}
				d := slips(text, known, allowed)
				if d > allowed || len(text) == 4 && size == 4 && !swapped(text, known) {
					continue // another letter in a word of four makes another word
				}
				count := lx.words[known].count
				if d < bestDistance || d == bestDistance && count > bestCount {
					best, bestDistance, bestCount = known, d, count
				}
			}
		}
	}
	return best
}

// firstLetters lists the letters with which the right word may begin.
func firstLetters(text string) []byte {
	list := []byte{text[0]}
	if text[1] != text[0] {
		list = append(list, text[1])
	}
	switch {
	case text[0] == 'c' && text[1] != 'k':
		list = append(list, 'k')
	case text[0] == 'k' && text[1] != 'c':
		list = append(list, 'c')
	}
	return list
}

// swapped reports whether two words of a size differ by two neighbours only.
func swapped(a, b string) bool {
	for i := 0; i+1 < len(a); i++ {
		if a[i] != b[i] {
			return a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
		}
	}
	return false
}

// slips counts the letters that were changed, left out, put in or swapped with
// their neighbour between two words; more than limit is given as limit+1.
func slips(a, b string, limit int) int {
	const most = 40
	if len(a) > most || len(b) > most {
		return limit + 1
	}
	var rows [3][most + 1]int
	for j := 0; j <= len(b); j++ {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		now, before, beforeThat := &rows[i%3], &rows[(i+2)%3], &rows[(i+1)%3]
		now[0] = i
		least := i
		for j := 1; j <= len(b); j++ {
			d := before[j-1]
			if a[i-1] != b[j-1] {
				d++
			}
			d = min(d, before[j]+1, now[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d = min(d, beforeThat[j-2]+1)
			}
			now[j] = d
			least = min(least, d)
		}
		if least > limit {
			return limit + 1
		}
	}
	return min(rows[len(a)%3][len(b)], limit+1)
}
