package kb

import "fmt"

// leastSign is the weakest word that speaks for its answer; seldom and the
// words below it say on purpose that the answer is unlikely.
const leastSign = 0.3

// reversed reports a row that counts against the cause that it was written
// for. Whoever writes "usually" means that the answer is a sign of the cause.
// Where it is given more often than that when nothing is wrong, it is none, and
// each of the answers that the row does not name becomes likelier instead.
func (c *checker) reversed(q *Question, row Row) {
	const same = 1e-9
	base, full := q.DefaultRow(), q.FullRow(row)
	strongest := -1 // index in the row
	for n, s := range row {
		i := q.answer(s.Answer)
		if i < 0 || full[i] > base[i]+same {
			return // unknown, or likelier than usual: that is the sign
		}
		if strongest < 0 || s.Chance > row[strongest].Chance {
			strongest = n
		}
	}
	if strongest < 0 || row[strongest].Chance < leastSign {
		return
	}
	s := row[strongest]
	if i := q.answer(s.Answer); full[i] < base[i]-same {
		c.warn("reversed-row", fmt.Sprintf(
			"%q is answered with %.3g when nothing is wrong, so %q counts against this cause: raise the word, name the answer that is likelier here than usual, or take the row out if none is",
			s.Answer, base[i], s.Chance), "tells", q.ID)
	}
}
