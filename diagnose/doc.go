// Package diagnose decides what to do next about a single fault: which
// question to put, which repair to try, when to hand over. It knows nothing of
// the trade, reads no files, has no clock and no randomness: the same model,
// state and budget give the same step on every machine.
//
// # Words and symbols
//
//	c            a cause; just one is present. Weight w(c), chance P(c), 0..1
//	q, a         a question and one of its answers. P(a | c), cost in minutes
//	r            a repair. P(works | c), cost in minutes
//	f            a final action: ends the case, cost per cause in minutes;
//	             extras are taken or left, whichever is cheaper under P
//	state        answers known, repairs tried, the place of the person
//	lo, hi       proven lower bound and exact cost of a policy, in minutes
//
// # An example
//
//	m := diagnose.NewModel([]string{"box1", "box2"}, []float64{0.8, 0.2})
//	m.Repairs = []diagnose.RepairAction{
//		{ID: "open1", Cost: 3, Place: -1, Fixes: []float64{1, 0}},
//		{ID: "open2", Cost: 2, Place: -1, Fixes: []float64{0, 1}}}
//	plan, err := m.Plan(m.NewState(), diagnose.Options{})
//	// plan.First is Try 0, plan.Expected 3.4 minutes
//
// # Which part follows what
//
//   - Belief (belief.go): Bayes' rule in logarithms; a failed repair counts as
//     evidence by 1 - P(works | c).
//   - Exact solution (exact.go): dynamic programming over all states, each once,
//     where few can follow (Bellman 1957).
//   - Search (search.go, expand.go, select.go): best-first AND/OR search with a
//     lower and an upper bound at every state, as AO* (Nilsson 1980) for test
//     sequencing by Pattipati and Alexandridis (1990) and with both bounds as in
//     the iterative bounding LAO* of Warnquist, Kvarnström and Doherty (2010).
//     States met again are shared (keys after Zobrist 1970, join.go). Where the
//     budget suffices the bounds meet and the plan is exact.
//   - Lower bound (bound.go): each cause priced as if it were known (Vomlelová
//     and Vomlel), after one more step where one must be paid; for goal
//     Identify also the length of Huffman's code (huffman.go; Huffman 1952,
//     Pattipati and Alexandridis 1990).
//   - Stronger bound, offline (proof.go, relax.go, choose.go, seating.go): the
//     least cost is concave in the weights of the causes and grows with them in
//     proportion (Smallwood and Sondik 1973), so it is at least the sum of the
//     least costs of clusters of causes, each with its own weights; that is the
//     cost if the cluster were known. A cluster is solved on a lattice of
//     beliefs with interpolation from below (lattice.go, cluster.go; Lovejoy
//     1991). Causes that are dear to tell apart share one.
//   - Base policy (greedy.go): repairs by chance over cost (Kadane and Simon
//     1977) with the cheapest cut by a final (call for service, Lín, about
//     2015). Its cost is exact, so it is an upper bound. For goal Identify also
//     the question with most information a minute until one cause is left
//     (split.go; Pattipati and Alexandridis 1990).
//   - Planning anew at every step (rehearse.go): a roll-out, so that what a call
//     costs is as a rule less than the plan at its opening promised
//     (Tu and Pattipati 2003).
//   - Check (policy.go, expect.go): the cost of a policy, recomputed by code that
//     shares nothing with the search; two policies compared on the same
//     cases, with a martingale as control variate (Henderson and Glynn 2002).
//   - Plain ways of working to be measured against (baseline.go, onestep.go),
//     simulated cases (rehearse.go), random reachable states (wander.go),
//     evidence between two causes (apart.go, Kullback and Leibler 1951), and
//     which answer to doubt (doubt.go).
//
// # Limits
//
// One fault at a time; the caller of the package goes on with a second after
// the first is mended. Answers are independent given the cause. Not knowing is
// no evidence. Budgets count states, never seconds.
package diagnose
