package sparse

// minimumDegree orders the nodes so that elimination fills in little: at each
// step the node with the fewest (approximately counted) neighbours goes next.
// The graph is kept as a quotient graph: an eliminated node becomes an
// "element" that stands for the clique of its neighbours (Amestoy, Davis and
// Duff, An approximate minimum degree ordering algorithm, 1996, sections 2–4).
//
// cliques are the node lists of the finite elements: each is a clique from the
// start, so no edge list is ever made.
func minimumDegree(nodes int, cliques [][]int32) []int32 {
	q := quotient{
		touch:  make([][]int32, nodes),
		clique: make([][]int32, len(cliques), len(cliques)+nodes),
		degree: make([]int, nodes),
		head:   make([]int32, nodes+1),
		next:   make([]int32, nodes),
		prev:   make([]int32, nodes),
		mark:   make([]int32, nodes),
		done:   make([]bool, nodes),
		outer:  make([]int, len(cliques), len(cliques)+nodes),
		stamp:  make([]int32, len(cliques), len(cliques)+nodes),
	}
	for i := range q.head {
		q.head[i] = -1
	}
	for e, c := range cliques {
		q.clique[e] = append([]int32(nil), c...)
		for _, n := range c {
			q.touch[n] = append(q.touch[n], int32(e))
			q.degree[n] += len(c) - 1
		}
	}
	for n := nodes - 1; n >= 0; n-- {
		q.degree[n] = min(q.degree[n], nodes-1)
		q.insert(int32(n))
	}
	order := make([]int32, 0, nodes)
	for low := 0; len(order) < nodes; {
		for low > 0 && q.head[low-1] >= 0 {
			low--
		}
		for q.head[low] < 0 {
			low++
		}
		order = q.eliminate(q.head[low], order)
		low = max(0, low-1)
		for low > 0 && q.lowered < low {
			low = q.lowered
		}
	}
	return order
}

// quotient is the quotient graph. All edges are cliques, so a node has a list
// of cliques and no list of single neighbours.
type quotient struct {
	touch   [][]int32 // cliques at each node
	clique  [][]int32 // nodes of each clique; nil once absorbed into another
	degree  []int
	head    []int32 // first node of each degree, -1 for none
	next    []int32
	prev    []int32
	mark    []int32 // step in which a node was last met
	done    []bool
	outer   []int   // nodes of a clique outside the newest one
	stamp   []int32 // step in which outer was set
	step    int32
	lowered int // smallest degree given in the last step
}

func (q *quotient) insert(n int32) {
	d := q.degree[n]
	q.prev[n], q.next[n] = -1, q.head[d]
	if q.head[d] >= 0 {
		q.prev[q.head[d]] = n
	}
	q.head[d] = n
}

func (q *quotient) remove(n int32) {
	if q.prev[n] >= 0 {
		q.next[q.prev[n]] = q.next[n]
	} else {
		q.head[q.degree[n]] = q.next[n]
	}
	if q.next[n] >= 0 {
		q.prev[q.next[n]] = q.prev[n]
	}
}

// eliminate takes node p out, makes the clique of its neighbours, recounts
// their degrees and takes out with p every neighbour that touches nothing else.
func (q *quotient) eliminate(p int32, order []int32) []int32 {
	q.step++
	q.remove(p)
	q.done[p] = true
	q.mark[p] = q.step
	order = append(order, p)
	var front []int32
	for _, e := range q.touch[p] {
		for _, n := range q.clique[e] {
			if q.mark[n] != q.step && !q.done[n] {
				q.mark[n] = q.step
				front = append(front, n)
			}
		}
		q.clique[e] = nil
	}
	// outer[e] becomes the number of nodes of clique e that are not in front.
	for _, n := range front {
		kept := q.touch[n][:0]
		for _, e := range q.touch[n] {
			if q.clique[e] == nil {
				continue
			}
			kept = append(kept, e)
			if q.stamp[e] != q.step {
				q.stamp[e] = q.step
				live := q.clique[e][:0]
				for _, m := range q.clique[e] {
					if !q.done[m] {
						live = append(live, m)
					}
				}
				q.clique[e] = live
				q.outer[e] = len(live)
			}
			q.outer[e]--
		}
		q.touch[n] = kept
	}
	live := front[:0]
	for _, n := range front {
		rest := 0
		for _, e := range q.touch[n] {
			rest += q.outer[e]
			if q.outer[e] == 0 {
				// The clique lies wholly inside the new one, which stands for it now.
				q.clique[e] = q.clique[e][:0]
			}
		}
		if rest == 0 {
			q.remove(n)
			q.done[n] = true
			order = append(order, n)
			continue
		}
		q.remove(n)
		q.degree[n] = rest
		live = append(live, n)
	}
	id := int32(len(q.clique))
	q.clique = append(q.clique, live)
	q.outer = append(q.outer, 0)
	q.stamp = append(q.stamp, 0)
	q.lowered = len(q.head)
	for _, n := range live {
		kept := q.touch[n][:0]
		for _, e := range q.touch[n] {
			if len(q.clique[e]) > 0 {
				kept = append(kept, e)
			}
		}
		q.touch[n] = append(kept, id)
		q.degree[n] = min(q.degree[n]+len(live)-1, len(q.done)-len(order))
		q.lowered = min(q.lowered, q.degree[n])
		q.insert(n)
	}
	return order
}
