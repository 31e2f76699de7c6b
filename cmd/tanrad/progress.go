package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/tanrad/tanrad/pkg/report"
)

// progress tells on standard error how far a check has come: a bar on a
// terminal, now and then a plain line elsewhere, nothing when neither is asked
// for.
type progress struct {
	out   io.Writer
	bar   bool // out is a terminal
	plain bool // tell lines when it is none
	began time.Time
	last  time.Time
	drawn int // letters of the bar on the screen
}

// Nothing is told of what is quicker than patience; a bar is drawn again and a
// line written no more often than these.
const (
	patience  = 300 * time.Millisecond
	barEvery  = 80 * time.Millisecond
	lineEvery = 2 * time.Second
)

// newProgress tells on out: on a terminal always, elsewhere if plain is set.
func newProgress(out io.Writer, plain bool) *progress {
	p := &progress{out: out, plain: plain, began: time.Now()}
	if f, isFile := out.(*os.File); isFile {
		if info, err := f.Stat(); err == nil {
			p.bar = info.Mode()&os.ModeCharDevice != 0
		}
	}
	return p
}

func (p *progress) show(done, total int, what string) {
	what = report.Printable(what)
	now := time.Now()
	if total <= 0 || now.Sub(p.began) < patience {
		return
	}
	switch {
	case p.bar && now.Sub(p.last) >= barEvery:
		const wide = 24
		full := min(wide, wide*done/total)
		line := fmt.Sprintf("[%s%s] %d/%d %s", strings.Repeat("#", full), strings.Repeat(".", wide-full), done, total, what)
		p.wipe()
		fmt.Fprint(p.out, line)
		p.drawn, p.last = len([]rune(line)), now
	case !p.bar && p.plain && now.Sub(p.last) >= lineEvery:
		fmt.Fprintf(p.out, "tanrad: %d of %d, %s\n", done, total, what)
		p.last = now
	}
}

// wipe takes the bar off the screen.
func (p *progress) wipe() {
	if p.drawn > 0 {
		fmt.Fprint(p.out, "\r"+strings.Repeat(" ", p.drawn)+"\r")
		p.drawn = 0
	}
}

// end leaves a clean line for the answer.
func (p *progress) end() { p.wipe() }
