package layers

import (
	"slices"
)

// Face is what stress through the thickness does to cracks from one face, at depths
// that rise.
type Face struct {
	Depth           []float64 // mm
	Deep            int       // the first of them that counts for the word
	Height          []float64 // mm above the mid-plane, mean over the depth
	Even, Bent      []float64 // stress intensity [√m, √m·mm] of one MPa, and of one MPa a mm of height
	mean, intensity [][]float64
}

// Depths at which a face is looked at: in mm, as far as they do not count yet, and as
// shares of the thickness.
var (
	depths = [...]float64{0.5, 1, 1.5, 2, 3, 4.5}
	shares = [...]float64{0.05, 0.075, 0.1, 0.15, 0.2, 0.25, 0.29, 0, 0.36, 0.4, 0.45, DeepestShare} // 0 stands for Deep
)

// Face prepares a face of the section.
func (s *Section) Face(top bool) *Face {
	h, deep := s.thickness(), Default().Deep
	f := &Face{}
	for _, d := range depths {
		if d < deep*h {
			f.Depth = append(f.Depth, d)
		}
	}
	for _, r := range shares {
		if r == 0 {
			r = deep
		}
		f.Depth = append(f.Depth, r*h)
	}
	slices.Sort(f.Depth)
	f.Deep, _ = slices.BinarySearch(f.Depth, deep*h)
	for _, d := range f.Depth {
		mean := s.over(d, top)
		f.mean, f.intensity = append(f.mean, mean), append(f.intensity, s.weights(d, top))
		z, even, bent := (d-h)/2, 0.0, 0.0
		if top {
			z = -z
		}
		for i, w := range f.intensity[len(f.intensity)-1] {
			even, bent = even+w, bent+w*s.Z[i]
		}
		f.Height, f.Even, f.Bent = append(f.Height, z), append(f.Even, even), append(f.Bent, bent)
	}
	return f
}

// over are the shares of the layers in a depth from a face.
func (s *Section) over(depth float64, top bool) []float64 {
	return s.down(depth, top, func(from, to float64) float64 { return (to - from) / depth })
}

// Mean is the mean of a stress [MPa per layer] over a depth, Intensity its stress
// intensity [MPa·√m] by (3) for a crack so deep.
func (f *Face) Mean(q int, stress []float64) float64 { return dot(f.mean[q], stress) }

// Intensity is the stress intensity [MPa·√m] of a stress [MPa per layer], see Mean.
func (f *Face) Intensity(q int, stress []float64) float64 { return dot(f.intensity[q], stress) }

func dot(a, b []float64) (sum float64) {
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

// Passes is the load over the load at which a crack from the face opens past the depth
// that counts: over one such depth mean stress reaches strength and the energy suffices,
//
//	v = max over d ≥ deep of min(S(d), E(d))                               (4)
//
// with S the mean stress over strength and E the root of the energy set free over the
// energy needed, per depth; all dimensionless.
func (f *Face) Passes(stress, energy []float64) (v float64) {
	for q := f.Deep; q < len(f.Depth); q++ {
		v = max(v, min(stress[q], energy[q]))
	}
	return v
}

// Opens is how deep [mm] a crack from the face is opened by the load at hand: the largest
// depth over which both suffice, nothing where none does.
func (f *Face) Opens(stress, energy []float64) float64 {
	last := len(f.Depth) - 1
	for q := last; q >= 0; q-- {
		v := min(stress[q], energy[q])
		if v < atStrength {
			continue
		}
		if q == last {
			return f.Depth[q]
		}
		next := min(stress[q+1], energy[q+1])
		return f.Depth[q] + (f.Depth[q+1]-f.Depth[q])*(v-atStrength)/(v-next)
	}
	return 0
}
