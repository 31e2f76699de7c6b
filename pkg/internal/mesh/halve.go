package mesh

// halve cuts every element in four through the middles of its sides, so that
// the old mesh is contained in the new one.
func (w *work) halve() {
	old := w.m.Elements
	w.m.Elements = make([]Element, 0, 4*len(old))
	w.m.ByPiece = make([][]int32, len(w.m.ByPiece))
	w.shapes = map[shapeKey]int32{}
	mids := make(map[[2]int32]int32, 6*len(old))
	middle := func(a, b int32) int32 {
		k := pair(a, b)
		m, ok := mids[k]
		if !ok {
			m = w.node(mid(w.m.Nodes[a], w.m.Nodes[b]))
			mids[k] = m
		}
		return m
	}
	for i := range old {
		o := &old[i]
		p := int(o.Piece)
		if o.N == 6 {
			c, m := o.Nodes[:3], o.Nodes[3:6]
			for _, t := range [4][3]int32{{c[0], m[0], m[2]}, {m[0], c[1], m[1]}, {m[2], m[1], c[2]}, {m[0], m[1], m[2]}} {
				e := Element{N: 6, Cell: o.Cell}
				for k := range t {
					e.Nodes[k], e.Nodes[3+k] = t[k], middle(t[k], t[(k+1)%3])
				}
				w.add(e, p)
			}
			continue
		}
		c, m := o.Nodes[:4], o.Nodes[4:8]
		centre := w.node(mid(mid(w.m.Nodes[c[0]], w.m.Nodes[c[1]]), mid(w.m.Nodes[c[2]], w.m.Nodes[c[3]])))
		for _, q := range [4][4]int32{{c[0], m[0], centre, m[3]}, {m[0], c[1], m[1], centre}, {centre, m[1], c[2], m[2]}, {m[3], centre, m[2], c[3]}} {
			e := Element{N: 8, Cell: o.Cell}
			for k := range q {
				e.Nodes[k], e.Nodes[4+k] = q[k], middle(q[k], q[(k+1)%4])
			}
			w.add(e, p)
		}
	}
	for e := range w.m.Edges {
		n := w.m.Edges[e].Nodes
		fine := []int32{n[0]}
		for k := 0; k+1 < len(n); k++ {
			fine = append(fine, middle(n[k], n[k+1]), n[k+1])
		}
		w.m.Edges[e].Nodes = fine
	}
}
