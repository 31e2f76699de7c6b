package sparse

import (
	"math"
	"math/rand/v2"
)

// randomProblem is a grid of 8-node cells or of 4-node ones, some cut into
// triangles, with made-up positive definite element matrices of few kinds,
// groups that need not hang together, and any unknowns held.
func randomProblem(seed uint64) (*Problem, Stiffness) {
	rng := random(seed)
	dof, kinds := 1+rng.IntN(3), 1+rng.IntN(4)
	nx, ny := 1+rng.IntN(9), 1+rng.IntN(9)
	curved := rng.IntN(2) == 0
	p := &Problem{NodeDof: dof}
	ids := map[[2]int]int32{}
	node := func(x, y int) int32 {
		n, ok := ids[[2]int{x, y}]
		if !ok {
			n = int32(len(p.Coord))
			ids[[2]int{x, y}] = n
			p.Coord = append(p.Coord, [2]float64{float64(x) * 5, float64(y) * 7})
		}
		return n
	}
	bw, bh, scattered := 1+rng.IntN(4), 1+rng.IntN(4), rng.IntN(4) == 0
	add := func(group int32, corner ...[2]int) {
		var nodes []int32
		for _, c := range corner {
			nodes = append(nodes, node(2*c[0], 2*c[1]))
		}
		if curved {
			for i, c := range corner {
				d := corner[(i+1)%len(corner)]
				nodes = append(nodes, node(c[0]+d[0], c[1]+d[1]))
			}
		}
		p.Elements = append(p.Elements, Element{Nodes: nodes, Group: group, Key: uint64(rng.IntN(kinds))})
	}
	for j := range ny {
		for i := range nx {
			g := int32(i/bw*100 + j/bh)
			if scattered {
				g = int32(rng.IntN(5))
			}
			a, b, c, d := [2]int{i, j}, [2]int{i + 1, j}, [2]int{i + 1, j + 1}, [2]int{i, j + 1}
			if rng.IntN(5) == 0 {
				add(g, a, b, c)
				add(g, a, c, d)
			} else {
				add(g, a, b, c, d)
			}
		}
	}
	for u := range p.unknowns() {
		if rng.IntN(40) == 0 {
			p.Fixed = append(p.Fixed, u)
		}
	}
	return p, randomStiffness(p)
}

// randomStiffness makes G·Gᵀ plus a hundredth of the unit matrix, one for each
// key and number of nodes.
func randomStiffness(p *Problem) Stiffness {
	return func(e int, dst []float64) {
		n := len(p.Elements[e].Nodes) * p.NodeDof
		rng := rand.New(rand.NewPCG(p.Elements[e].Key, uint64(n)))
		g := make([]float64, n*n)
		for i := range g {
			g[i] = rng.NormFloat64()
		}
		for i := range n {
			for j := range n {
				s := 0.0
				for k := range n {
					s += g[i*n+k] * g[j*n+k]
				}
				if i == j {
					s += 0.01
				}
				dst[i*n+j] = s / math.Sqrt(float64(n))
			}
		}
	}
}
