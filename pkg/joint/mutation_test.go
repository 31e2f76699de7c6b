package joint

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/format"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mutantVariable tells a test binary which mutant it is.
const mutantVariable = "TANRAD_JOINT_MUTANT"

// unjudged are the files that hold no law: the tables are read there. In all others
// every sign, factor and branch is flipped once, whatever the files are called.
var unjudged = map[string]bool{"figures.go": true, "doc.go": true}

// The law of the joint is held by this package's own tests: each sign, factor,
// index, branch and assignment of it is changed alone, and every such mutant must
// fail them. All mutants are built into one binary, which an environment variable
// turns into one or another.
func TestEveryMutantIsFound(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	if os.Getenv(mutantVariable) != "" {
		t.Skip("this is a mutant")
	}
	dir := t.TempDir()
	m := mutate(t)
	overlay := map[string]map[string]string{"Replace": {}}
	for name, src := range m.files {
		to := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(to, src, 0o600))
		from, err := filepath.Abs(name)
		require.NoError(t, err)
		overlay["Replace"][from] = to
	}
	list, err := json.Marshal(overlay)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "overlay.json"), list, 0o600))
	binary := filepath.Join(dir, "joint.test")
	out, err := exec.Command("go", "test", "-c", "-vet=off", "-o", binary, "-overlay", filepath.Join(dir, "overlay.json"), ".").CombinedOutput()
	require.NoError(t, err, "%s", out)
	survives := func(k int) bool {
		ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
		defer cancel()
		c := exec.CommandContext(ctx, binary, "-test.short", "-test.failfast")
		c.Env = append(os.Environ(), fmt.Sprintf("%s=%d", mutantVariable, k), "GOGC=off", "GOMAXPROCS=1")
		return c.Run() == nil
	}
	require.True(t, survives(0), "the original must pass when it is built like the mutants")
	alive := make([]bool, len(m.changes)+1)
	var group sync.WaitGroup
	next := make(chan int)
	for range 2 {
		group.Go(func() {
			for k := range next {
				alive[k] = survives(k)
			}
		})
	}
	for k := 1; k < len(alive); k++ {
		next <- k
	}
	close(next)
	group.Wait()
	killed := 0
	for k, c := range m.changes {
		if !alive[k+1] {
			killed++
		}
		assert.False(t, alive[k+1], "%s: survives", c)
	}
	t.Logf("%d of %d mutants found", killed, len(m.changes))
	assert.Greater(t, len(m.changes), 150)
}

// mutants is the package's source with all changes in it, each waiting for its number.
type mutants struct {
	files   map[string][]byte
	changes []string // "wood.go:30: + to -"
}

// helpers run the change when its number is up. They stand in the mutated package.
const helpers = `package joint

import ("math"; "os"; "strconv")

var mutant, _ = strconv.Atoi(os.Getenv("` + mutantVariable + `"))

type number interface{ ~int | ~float64 }

func mAdd[T number](k int, a, b T) T { if k == mutant { return a - b }; return a + b }
func mSub[T number](k int, a, b T) T { if k == mutant { return a + b }; return a - b }
func mMul[T number](k int, a, b T) T { if k == mutant { return a / b }; return a * b }
func mQuo[T number](k int, a, b T) T { if k == mutant { return a * b }; return a / b }
func mNeg[T number](k int, a T) T { if k == mutant { return a }; return -a }
func mLit[T number](k int, a T) T { if k == mutant { if a == 0 { return 1 }; if T(1)/2 == 0 { return a - 1 }; return 2 * a }; return a }
func mNot(k int, a bool) bool { return a != (k == mutant) }
func mIs(k int) bool { return k == mutant }
func mMax(k int, a, b float64) float64 { if k == mutant { return math.Min(a, b) }; return math.Max(a, b) }
func mMin(k int, a, b float64) float64 { if k == mutant { return math.Max(a, b) }; return math.Min(a, b) }
func mAbs(k int, a float64) float64 { if k == mutant { return a }; return math.Abs(a) }
func mSqrt(k int, a float64) float64 { if k == mutant { return a }; return math.Sqrt(a) }
func mHypot(k int, a, b float64) float64 { if k == mutant { return math.Abs(a) + math.Abs(b) }; return math.Hypot(a, b) }
`

// mutate rewrites the judged files.
func mutate(t *testing.T) *mutants {
	t.Helper()
	set := token.NewFileSet()
	var parsed []*ast.File
	names, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, name := range names {
		if !strings.HasSuffix(name, "_test.go") {
			f, err := parser.ParseFile(set, name, nil, 0)
			require.NoError(t, err)
			parsed = append(parsed, f)
		}
	}
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
	_, err = (&types.Config{Importer: importer.ForCompiler(set, "source", nil)}).Check("joint", set, parsed, info)
	require.NoError(t, err)
	m := &mutants{files: map[string][]byte{"mutant_helpers.go": []byte(helpers)}}
	w := &rewriter{set: set, info: info, m: m}
	for _, f := range parsed {
		name := filepath.Base(set.Position(f.Pos()).Filename)
		if unjudged[name] {
			continue
		}
		before := len(m.changes)
		for _, d := range f.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok {
				w.block(fn.Body)
			}
		}
		assert.Greater(t, len(m.changes), before, "%s: nothing to change", name)
		var b bytes.Buffer
		require.NoError(t, format.Node(&b, set, f))
		src := b.String() + "\nvar _ = math.Pi\n"
		m.files[name] = []byte(src)
	}
	return m
}

type rewriter struct {
	set  *token.FileSet
	info *types.Info
	m    *mutants
	as   types.Type // of the constant expression that a literal is part of; nil elsewhere
}

// number enters a change and gives its number.
func (w *rewriter) number(at token.Pos, change string) *ast.BasicLit {
	p := w.set.Position(at)
	w.m.changes = append(w.m.changes, fmt.Sprintf("%s:%d:%d: %s", filepath.Base(p.Filename), p.Line, p.Column, change))
	return &ast.BasicLit{Kind: token.INT, Value: fmt.Sprint(len(w.m.changes))}
}

func call(name string, args ...ast.Expr) *ast.CallExpr {
	return &ast.CallExpr{Fun: ast.NewIdent(name), Args: args}
}

// block rewrites the statements of a block, and lets each plain one be left out.
func (w *rewriter) block(b *ast.BlockStmt) {
	if b == nil {
		return
	}
	for i, s := range b.List {
		w.statement(s)
		b.List[i] = w.omit(s)
	}
}

// omit lets an assignment to something that stands already, a count and a jump be
// left out.
func (w *rewriter) omit(s ast.Stmt) ast.Stmt {
	switch s := s.(type) {
	case *ast.AssignStmt:
		if s.Tok == token.DEFINE {
			return s
		}
	case *ast.IncDecStmt:
	case *ast.BranchStmt:
	default:
		return s
	}
	s = w.turned(s)
	not := &ast.UnaryExpr{Op: token.NOT, X: call("mIs", w.number(s.Pos(), "left out"))}
	return &ast.IfStmt{Cond: not, Body: &ast.BlockStmt{List: []ast.Stmt{s}}}
}

var opposite = map[token.Token]token.Token{token.ADD_ASSIGN: token.SUB_ASSIGN, token.SUB_ASSIGN: token.ADD_ASSIGN, token.MUL_ASSIGN: token.QUO_ASSIGN, token.QUO_ASSIGN: token.MUL_ASSIGN}

// turned lets an assignment that reckons (+=, /=) reckon the other way.
func (w *rewriter) turned(s ast.Stmt) ast.Stmt {
	a, ok := s.(*ast.AssignStmt)
	if !ok || opposite[a.Tok] == 0 {
		return s
	}
	other := *a
	other.Tok = opposite[a.Tok]
	return &ast.IfStmt{Cond: call("mIs", w.number(a.TokPos, a.Tok.String()+" to "+other.Tok.String())),
		Body: &ast.BlockStmt{List: []ast.Stmt{&other}}, Else: &ast.BlockStmt{List: []ast.Stmt{a}}}
}

func (w *rewriter) statement(s ast.Stmt) {
	switch s := s.(type) {
	case *ast.AssignStmt:
		w.list(s.Rhs)
		for i := range s.Lhs {
			if ix, ok := s.Lhs[i].(*ast.IndexExpr); ok {
				ix.Index = w.expr(ix.Index)
			}
		}
	case *ast.ReturnStmt:
		w.list(s.Results)
	case *ast.IfStmt:
		if s.Init != nil {
			w.statement(s.Init)
		}
		s.Cond = call("mNot", w.number(s.Cond.Pos(), "branch turned"), w.expr(s.Cond))
		w.block(s.Body)
		switch e := s.Else.(type) {
		case *ast.BlockStmt:
			w.block(e)
		case *ast.IfStmt:
			w.statement(e)
		}
	case *ast.ForStmt:
		if s.Init != nil {
			w.statement(s.Init)
		}
		if s.Cond != nil {
			s.Cond = call("mNot", w.number(s.Cond.Pos(), "branch turned"), w.expr(s.Cond))
		}
		w.block(s.Body)
	case *ast.RangeStmt:
		s.X = w.expr(s.X)
		w.block(s.Body)
	case *ast.ExprStmt:
		s.X = w.expr(s.X)
	case *ast.DeclStmt, *ast.IncDecStmt, *ast.BranchStmt:
	default: // a battery that passes a statement over would say that all is held
		panic(fmt.Sprintf("%s: the battery has no change for a %T", w.set.Position(s.Pos()), s))
	}
}

func (w *rewriter) list(l []ast.Expr) {
	for i := range l {
		l[i] = w.expr(l[i])
	}
}

var arithmetic = map[token.Token][2]string{token.ADD: {"mAdd", "+ to -"}, token.SUB: {"mSub", "- to +"}, token.MUL: {"mMul", "* to /"}, token.QUO: {"mQuo", "/ to *"}}

// expr rewrites an expression, its parts first.
func (w *rewriter) expr(e ast.Expr) ast.Expr {
	if known := w.info.Types[e]; known.Value != nil && w.as == nil {
		w.as = known.Type // what is part of a constant has no type of its own
		defer func() { w.as = nil }()
	}
	switch e := e.(type) {
	case *ast.BinaryExpr:
		kind, isNumber := w.info.Types[e].Type.Underlying().(*types.Basic)
		at := e.OpPos
		x, y := w.expr(e.X), w.expr(e.Y)
		if op, ok := arithmetic[e.Op]; ok && isNumber && kind.Info()&types.IsNumeric != 0 {
			return call(op[0], w.number(at, op[1]), x, y)
		}
		if e.Op == token.LAND || e.Op == token.LOR {
			x, y = call("mNot", w.number(e.X.Pos(), "condition turned"), x), call("mNot", w.number(e.Y.Pos(), "condition turned"), y)
		}
		return &ast.BinaryExpr{X: x, Op: e.Op, Y: y}
	case *ast.UnaryExpr:
		x := e.X
		if e.Op == token.AND { // the address of a place is no figure
			return e
		}
		x = w.expr(x)
		if e.Op == token.SUB {
			return call("mNeg", w.number(e.Pos(), "sign"), x)
		}
		return &ast.UnaryExpr{Op: e.Op, X: x}
	case *ast.BasicLit:
		if e.Kind != token.INT && e.Kind != token.FLOAT {
			return e
		}
		return &ast.CallExpr{Fun: &ast.IndexExpr{X: ast.NewIdent("mLit"), Index: ast.NewIdent(w.basic())},
			Args: []ast.Expr{w.number(e.Pos(), "figure "+e.Value), e}}
	case *ast.ParenExpr:
		return &ast.ParenExpr{X: w.expr(e.X)}
	case *ast.CallExpr:
		f, named := e.Fun.(*ast.SelectorExpr)
		if named && f.Sel.Name == "Inf" {
			return e // its argument is but a sign
		}
		w.list(e.Args)
		if named {
			if p, ok := f.X.(*ast.Ident); ok && p.Name == "math" {
				switch f.Sel.Name {
				case "Max", "Min", "Abs", "Sqrt", "Hypot":
					return call("m"+f.Sel.Name, append([]ast.Expr{w.number(e.Pos(), f.Sel.Name)}, e.Args...)...)
				}
			}
		}
		switch f := e.Fun.(type) {
		case *ast.FuncLit:
			w.block(f.Body)
		case *ast.Ident: // max and min of the language
			if swap, ok := map[string]string{"max": "mMax", "min": "mMin"}[f.Name]; ok && len(e.Args) == 2 {
				return call(swap, append([]ast.Expr{w.number(e.Pos(), f.Name)}, e.Args...)...)
			}
		}
		return e
	case *ast.FuncLit:
		w.block(e.Body)
		return e
	case *ast.IndexExpr:
		if w.info.Types[e.X].IsValue() {
			return &ast.IndexExpr{X: w.expr(e.X), Index: w.expr(e.Index)}
		}
		return e
	case *ast.SliceExpr:
		return e
	case *ast.CompositeLit:
		for i := range e.Elts {
			if kv, ok := e.Elts[i].(*ast.KeyValueExpr); ok {
				kv.Value = w.expr(kv.Value)
			} else {
				e.Elts[i] = w.expr(e.Elts[i])
			}
		}
		return e
	}
	return e
}

// basic names the type that a literal has where it stands.
func (w *rewriter) basic() string {
	if b, ok := w.as.Underlying().(*types.Basic); ok && b.Info()&types.IsFloat != 0 {
		return "float64"
	}
	return "int"
}
