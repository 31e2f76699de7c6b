package moisture

// History is the moisture of a column over time. All slices over time have the
// same length; entry 0 is the start, before the first phase acts. z runs
// upwards from the mid-plane, the top face at +h/2.
type History struct {
	Times []float64 // h since the start, rising
	Phase []int     // index of the phase that ends at or contains the time; 0 at the start

	Mean   []float64 // % MC, mean through the thickness
	Slope  []float64 // % MC per mm: first moment (12/h³)∫M z dz; a profile a + g·z gives g; positive when the top is wetter
	Top    []float64 // % MC at the top face
	Bottom []float64 // % MC at the bottom face
	Mid    []float64 // % MC at the mid-plane

	Thickness float64     // mm
	Z         []float64   // mm from the mid-plane, nodes of the cells from the bottom up; empty without Options.Profiles
	Profiles  [][]float64 // % MC by time and cell

	// MassBalance is the water the cells gained less the water that came in
	// through the faces, % mm, at its worst over the run; round-off only.
	MassBalance float64
	Steps       int // accepted steps
	Rejected    int // steps tried again with a shorter stride
}

// Options steer a simulation. The zero value is the documented default.
type Options struct {
	Tolerance float64 // % MC a step may err in any cell; 0 means 0.01
	Cells     int     // finite volumes through the thickness, even; 0 means 40
	Profiles  bool    // keep the whole profile at every time
}

const (
	defaultTolerance = 0.01 // % MC
	defaultCells     = 40
	maxCells         = 2000
)

// Limits of a run.
const (
	MaxPhases = 1000
	MaxHours  = 100 * HoursPerYear // one phase
)

// Sample times after the start of each phase: first, growth and the widest
// spacing. They depend on the phases alone, so that columns of different pieces
// can be added up time by time.
const (
	firstSample   = 0.05  // h
	sampleGrowth  = 1.4   // from one spacing to the next
	widestSpacing = 168.0 // h, a week
)

// SampleTimes returns the times [h since the start] at which a run of the phases
// reports, and the phase each belongs to. The first is 0; the end of every phase is one.
func SampleTimes(phases []Phase) (times []float64, phase []int) {
	times, phase = []float64{0}, []int{0}
	start := 0.0
	for i, p := range phases {
		spacing := firstSample
		for t := spacing; t < p.Hours-spacing/2; t += spacing {
			times, phase = append(times, start+t), append(phase, i)
			spacing = min(spacing*sampleGrowth, widestSpacing)
		}
		start += p.Hours
		times, phase = append(times, start), append(phase, i)
	}
	return times, phase
}
