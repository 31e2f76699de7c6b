package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tanrad/tanrad/pkg/layout"
	"github.com/tanrad/tanrad/pkg/quantity"
)

// Calendar is the work in days, from the day the stock arrives. A task starts when
// all it waits for is done; one without slack is on the critical way.
type Calendar struct {
	Days     float64  `json:"days"` // from arrival to hand-over
	Tasks    []Task   `json:"tasks"`
	Critical string   `json:"critical"` // the longest wait on the critical way
	Text     string   `json:"text"`
	Rule     string   `json:"rule"`
	Figures  []Figure `json:"figures"`
}

// Task is one entry of the calendar. Days are counted from 0.
type Task struct {
	ID       string   `json:"id"`
	What     string   `json:"what"`
	Start    float64  `json:"start"` // day
	Days     float64  `json:"days"`
	Slack    float64  `json:"slack"` // days it may slip without moving the hand-over
	Wait     bool     `json:"wait"`  // nobody works on it
	Critical bool     `json:"critical"`
	Longest  bool     `json:"longest_wait"`
	After    []string `json:"after"`
	Why      string   `json:"why"`
}

// network collects tasks; each is added after those it waits for.
type network struct{ tasks []Task }

// add enters a task of some days after others and gives its id.
func (n *network) add(id, what, why string, days float64, wait bool, after ...string) string {
	t := Task{ID: id, What: what, Why: why, Days: days, Wait: wait, After: []string{}}
	for _, a := range after {
		if a == "" {
			continue
		}
		t.After = append(t.After, a)
		if b := n.find(a); b.Start+b.Days > t.Start {
			t.Start = b.Start + b.Days
		}
	}
	n.tasks = append(n.tasks, t)
	return id
}

// taskID is the id of a task by what it is.
func taskID(what string) string { return strings.ReplaceAll(strings.ToLower(what), " ", "-") }

func (n *network) has(id string) bool {
	return slices.ContainsFunc(n.tasks, func(t Task) bool { return t.ID == id })
}

func (n *network) find(id string) *Task {
	i := slices.IndexFunc(n.tasks, func(t Task) bool { return t.ID == id })
	return &n.tasks[i]
}

// end works out slack from the last task back and marks the critical way.
func (n *network) end() (days float64, longest string) {
	latest := make([]float64, len(n.tasks)) // finish
	for i := range n.tasks {
		days = math.Max(days, n.tasks[i].Start+n.tasks[i].Days)
	}
	for i := range latest {
		latest[i] = days
	}
	for i := len(n.tasks) - 1; i >= 0; i-- {
		for _, a := range n.tasks[i].After {
			k := slices.IndexFunc(n.tasks, func(t Task) bool { return t.ID == a })
			latest[k] = math.Min(latest[k], latest[i]-n.tasks[i].Days)
		}
	}
	most := -1
	for i := range n.tasks {
		t := &n.tasks[i]
		t.Slack = math.Max(0, latest[i]-t.Start-t.Days)
		t.Critical = t.Slack < 1e-9
		if t.Wait && t.Critical && t.Days > 0 && (most < 0 || t.Days > n.tasks[most].Days) {
			most = i
		}
	}
	if most >= 0 {
		n.tasks[most].Longest = true
		longest = n.tasks[most].What
	}
	return days, longest
}

// calendar lays the work out in days.
func (m *maker) calendar(p *Plan) error {
	l := m.ledger()
	workday := l.use("workday")
	n := &network{}
	settled, edged := map[string]float64{}, map[string]float64{} // days on sticks by stock
	never := []string{}
	for _, a := range p.Stock.Woods {
		if a.Ripped == nil {
			never = append(never, a.Species)
			continue
		}
		settled[a.Stock] = quantity.Whole(*a.Ripped)
		if a.edge != nil {
			edged[a.Stock] = quantity.Whole(*a.edge)
		}
	}
	n.add("rip", "Rip rough sticks, sticker them", "so that they open on four sides", 1, false)
	inField, inBorder := m.stocksOf(-1), m.stocksOf(0)
	fieldWait, borderWait := 0.0, 0.0
	for key, d := range settled {
		if inField[key] {
			fieldWait = math.Max(fieldWait, d)
		}
		if inBorder[key] {
			borderWait = math.Max(borderWait, edged[key])
		}
	}
	n.add("settle", "Sticks of the field settle", "days on sticks, by diffusion", fieldWait, true, "rip")
	last := n.add("mill", "Mill the sticks of the field to size", "", 1, false, "settle")
	border, panels := "", ""
	millBorder := func(after string) string {
		return n.add("mill-border", "Mill the border", "as late as can be: milled wood moves", 1, false, "settle-border", after)
	}
	sliced := slices.ContainsFunc(m.f.Borders, func(e layout.Edging) bool { return e.Panel != "" })
	if len(m.b.Borders) > 0 {
		n.add("settle-border", "Sticks of the border settle", "days on sticks, by diffusion", borderWait, true, "rip")
	}
	if sliced { // its panels are glued with those of the field
		panels = millBorder("settle")
	}
	for _, kind := range []struct{ kind, what, next string }{
		{"stick", "Glue the cut sticks", "Plane the sticks"}, {"panel", "Glue the panels", "Plane the panels, crosscut the slices"},
		{"row", "Glue the rows", "Clean the rows"}, {"field", "Glue the field", ""}} {
		after := []string{last, m.restBefore(n, kind.kind)}
		if kind.kind == "panel" {
			after = append(after, panels)
		}
		last = m.stage(n, p, kind.kind, kind.what, kind.next, -1, workday, after...)
	}
	glued := ""
	var lines []string // waits of glue lines that only flattening has to wait for
	if n.has(taskID("Glue the field")) {
		glued = taskID("Glue the field")
	}
	if len(m.b.Borders) > 0 && !sliced {
		border = millBorder(glued)
	}
	for i := range m.b.Borders {
		name := fmt.Sprintf("Glue border %d", i+1)
		if i > 0 {
			border = ""
		}
		rest := ""
		if r := m.f.Borders[i].Rest; r != nil && r.Days > 0 && glued != "" {
			rest = n.add(fmt.Sprintf("rest-before-border-%d", i+1), fmt.Sprintf("Rest before border %d", i+1), "as the board file tells", r.Days, true, glued)
		}
		last = m.stage(n, p, "", name, "Trim it flush", i, workday, last, border, rest)
		glued = taskID(name)
		if wait, why := m.lines(p, i); wait > 0 && n.has(glued) {
			lines = append(lines, n.add(glued+"-lines", fmt.Sprintf("Lines of border %d settle", i+1), why, math.Ceil(2*wait/24)/2, true, glued))
		}
	}
	last = n.add("flatten", "Flatten and sand", "", 1, false, append(lines, last)...)
	s := &p.Surface
	raise := math.Ceil(s.Dry*float64(s.Times)/24*10) / 10
	last = n.add("raise", "Raise the grain "+quantity.Count(s.Times, "time")+", sanding between", fmt.Sprintf("%.0f h to dry each time", math.Ceil(s.Dry)), math.Max(0.5, raise), true, last)
	if s.Coats > 0 {
		last = n.add("finish", s.Finish+", "+quantity.Count(s.Coats, "coat"), fmt.Sprintf("%.0f h between", s.Between), float64(s.Coats-1)*s.Between/24+0.5, false, last)
		last = n.add("cure", "The finish cures", "before food", s.Cure, true, last)
	}
	if s.Rest != nil && *s.Rest > 0 {
		n.add("rest", "The board comes to rest, standing free", "the water of the glue leaves", quantity.Whole(*s.Rest), true, "flatten")
		last = n.add("look", "Look at it once more: flat, no line open", "", 0.5, false, last, "rest")
	}
	n.add("hand-over", "Hand over, with its card", "", 0, false, last)
	c := &p.Calendar
	c.Days, c.Critical = n.end()
	slices.SortStableFunc(n.tasks, func(a, b Task) int { return cmp.Compare(a.Start, b.Start) })
	c.Tasks = n.tasks
	c.Text = fmt.Sprintf("%.0f days from arrival to hand-over.", quantity.Whole(c.Days))
	if c.Critical != "" {
		c.Text += " The wait that decides: " + strings.ToLower(c.Critical[:1]) + c.Critical[1:] + "."
	}
	if len(never) > 0 {
		c.Text += " Not counted, for it takes longer than is followed: " + strings.Join(never, ", ") + " to settle."
	}
	c.Rule = "earliest start of each task after all it waits for; slack from the hand-over back; critical without slack. Days are counted through; a glue-up takes its clamping time as often as it is done, within a shop's day"
	c.Figures = l.told()
	return nil
}

// lines is the longest wait of the lines of a border [h], and what for.
func (m *maker) lines(p *Plan, border int) (wait float64, why string) {
	for i, j := range m.w.gluings {
		if g := &p.GlueUps.GlueUps[i]; j.border == border && g.Wait > wait {
			wait, why = g.Wait, g.WaitFor
		}
	}
	return wait, why
}

// stocksOf tells which stocks are in the field (−1), or in any border (0).
func (m *maker) stocksOf(part int) map[string]bool {
	out := map[string]bool{}
	for i := range m.b.Pieces {
		if (m.b.Pieces[i].Border < 0) == (part < 0) {
			out[m.b.Pieces[i].Stock] = true
		}
	}
	return out
}

// stage enters the glue-ups of a kind, or of a border, with their curing and waiting.
func (m *maker) stage(n *network, p *Plan, kind, what, next string, border int, workday float64, after ...string) string {
	hours, wait, why, found := 0.0, 0.0, "", false
	for i, j := range m.w.gluings {
		if j.border != border || kind != "" && j.kind != kind {
			continue
		}
		g := &p.GlueUps.GlueUps[i]
		found = true
		rounds := float64(g.Times)
		if g.Parts > 1 {
			rounds = float64(g.Times * (g.Parts + 1))
		}
		hours += rounds * (g.Minutes + p.GlueUps.Clamped) / 60
		if g.Wait > wait {
			wait, why = g.Wait, g.WaitFor
		}
	}
	if !found {
		for _, a := range after[:1] {
			return a
		}
	}
	id := taskID(what)
	last := n.add(id, what, fmt.Sprintf("%.1f h of spreading and clamping", hours), math.Max(0.5, math.Ceil(2*hours/workday)/2), false, after...)
	cure := p.GlueUps.Cure
	if border >= 0 {
		wait, why = 0, "" // the next stage may go on while its lines settle
	}
	if why == "" {
		why = "until the glue has cured"
	}
	last = n.add(id+"-cure", "Rest after: "+strings.ToLower(what[:1])+what[1:], why, math.Ceil(2*math.Max(cure, wait)/24)/2, true, last)
	if next != "" {
		last = n.add(id+"-next", next, "", 0.5, false, last)
	}
	return last
}

// restBefore enters what the board file tells of rests before the glue-ups of a kind,
// and gives the last; "" for none.
func (m *maker) restBefore(n *network, kind string) (last string) {
	b := m.f.Field.Build
	if b == nil {
		return ""
	}
	for _, r := range []struct {
		before, of, glued string
		rest              *layout.Rest
	}{{"panel", "sticks", "Glue the cut sticks", b.StickRest}, {"field", "panels", "Glue the panels", b.Rest}, {"field", "slices", "Glue the panels", b.SliceRest}} {
		if r.before != kind || r.rest == nil || r.rest.Days == 0 || !n.has(taskID(r.glued)) {
			continue
		}
		after := last
		if after == "" {
			after = taskID(r.glued)
		}
		last = n.add("rest-of-"+r.of, "Rest of the "+r.of, "as the board file tells", r.rest.Days, true, after)
	}
	return last
}
