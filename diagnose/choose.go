package diagnose

import "sort"

// chooser decides which causes share a cluster: those that it costs most to
// tell apart, judged two by two.
type chooser struct {
	w    []float64 // belief
	gain [][]float64
}

// part parts the causes with weight into clusters of at most size.
func (r *relaxed) part(w []float64, size int) [][]int {
	h := &chooser{w: w, gain: make([][]float64, len(w))}
	for _, c := range r.live {
		h.gain[c] = make([]float64, len(w))
	}
	pair := newLattice(2)
	for i, c := range r.live {
		for _, d := range r.live[:i] {
			g := r.apart(c, d, w, pair)
			h.gain[c][d], h.gain[d][c] = g, g
		}
	}
	return h.groups(r.live, size)
}

// apart is how many minutes it costs at least not to know which of c and d it
// is, for their part of the calls.
func (r *relaxed) apart(c, d int, w []float64, grid *lattice) float64 {
	k := r.cluster([]int{c, d}, 1)
	if len(k.tries) > maxTries {
		return 0
	}
	k.work(grid)
	x := []float64{w[c], w[d]}
	return k.lower(x, 0) - k.knownSum(x, 0)
}

// groups puts the heaviest causes first into the group where they gain most,
// and then exchanges causes as long as that gains.
func (h *chooser) groups(causes []int, size int) [][]int {
	order := append([]int(nil), causes...)
	sort.SliceStable(order, func(i, j int) bool { return h.w[order[i]] > h.w[order[j]] })
	list := make([][]int, (len(causes)+size-1)/size)
	for _, c := range order {
		best, top := -1, 0.0
		for i, g := range list {
			if len(g) < size {
				if x := h.with(c, g, -1); best < 0 || x > top {
					best, top = i, x
				}
			}
		}
		list[best] = append(list[best], c)
	}
	for range mostExchanges {
		if !h.exchange(list) {
			break
		}
	}
	return list
}

const mostExchanges = 10000

// with sums the gains of c with the causes of g but the one at skip.
func (h *chooser) with(c int, g []int, skip int) float64 {
	sum := 0.0
	for i, d := range g {
		if i != skip {
			sum += h.gain[c][d]
		}
	}
	return sum
}

// exchange swaps two causes of two groups where that gains.
func (h *chooser) exchange(list [][]int) bool {
	for a := range list {
		for b := range a {
			for i, c := range list[a] {
				for j, d := range list[b] {
					now := h.with(c, list[a], i) + h.with(d, list[b], j)
					then := h.with(c, list[b], j) + h.with(d, list[a], i)
					if then > now+1e-9 {
						list[a][i], list[b][j] = d, c
						return true
					}
				}
			}
		}
	}
	return false
}
