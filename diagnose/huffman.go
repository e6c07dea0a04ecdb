package diagnose

import "sort"

// codeCost bounds from below what it costs to tell the causes of w apart by
// the questions left in g, where nothing else ends the case. For each way that
// chance may fall the questions make a code with as many digits as they have
// answers, so their mean number is at least the length of Huffman's code; and
// the j-th question of a path costs no less than the j-th cheapest. The sum
// of the cheapest is convex in their number, so its mean is at least its value
// at the mean (Pattipati and Alexandridis 1990).
func (p *problem) codeCost(w []float64, g got) float64 {
	digits, costs := 2, []float64(nil)
	for q := range p.asks {
		if g[q] == open {
			digits = max(digits, len(p.asks[q].base))
			costs = append(costs, p.asks[q].cost)
		}
	}
	sort.Float64s(costs)
	length, sum := codeLength(w, digits), 0.0
	for _, c := range costs {
		if length < 1 {
			return sum + float64(length*c)
		}
		sum += c
		length--
	}
	return sum
}

// codeLength is the mean length of Huffman's code with the given number of
// digits for the weights above zero of w, which sum to one.
func codeLength(w []float64, digits int) float64 {
	var list []float64
	for _, v := range w {
		if v > 0 {
			list = append(list, v)
		}
	}
	for len(list) > 1 && (len(list)-1)%(digits-1) != 0 {
		list = append(list, 0) // so that every branching is full
	}
	length := 0.0
	for len(list) > 1 {
		sort.Float64s(list)
		joined := 0.0
		for _, v := range list[:digits] {
			joined += v
		}
		length += joined
		list = append(list[digits:], joined)
	}
	return length
}
