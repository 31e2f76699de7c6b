package answer

import (
	"runtime/debug"
	"sync"

	"github.com/tanrad/tanrad/data"
	"github.com/tanrad/tanrad/pkg/check"
)

// Versions say what an answer was made with.
type Versions struct {
	Program string `json:"program"` // version of the module, with the revision where it was built from one
	Data    string `json:"data"`    // mark of the tables, see package data
}

// Version gives those of this program.
var Version = sync.OnceValue(func() Versions {
	v := Versions{Program: "unversioned", Data: data.Version()}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return v
	}
	if info.Main.Version != "" && info.Main.Version != "(devel)" {
		v.Program = info.Main.Version
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && len(s.Value) >= 12 && v.Program == "unversioned" {
			v.Program = s.Value[:12]
		}
	}
	return v
})

// Report is a check's report with what it was made with, so that one that was
// kept can be dated.
type Report struct {
	*check.Report
	Made Versions `json:"made"`
	Told int      `json:"-"` // significant digits; 0 is ReportDigits
}

// Stamp marks a report.
func Stamp(r *check.Report) *Report { return &Report{Report: r, Made: Version()} }

// ReportDigits is how many significant digits a report tells of a number where nothing else
// is asked for: a fifth of a thousandth of a utilisation, a tenth of a millimetre of the
// largest board, and more than any strength or movement of wood is known to.
const ReportDigits = 5

// Digits is how many significant digits the report tells.
func (r *Report) Digits() int {
	if r.Told > 0 {
		return r.Told
	}
	return ReportDigits
}
