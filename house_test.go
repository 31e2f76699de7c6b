package tanrad

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const module = "github.com/tanrad/tanrad/"

// maySee says which packages of this module a package may import. Data go one
// way; whoever adds an arrow adds it here first and says why in DEVELOPERS.md.
var maySee = map[string]string{
	"data":                     "",
	"pkg/fault":                "",
	"pkg/internal/matrix":      "",
	"pkg/internal/sparse":      "",
	"pkg/verdict":              "",
	"pkg/source":               "data",
	"pkg/relax":                "data",
	"pkg/quantity":             "pkg/fault",
	"pkg/strictjson":           "pkg/fault",
	"pkg/wood":                 "data pkg/fault pkg/internal/matrix pkg/source",
	"pkg/safety":               "data pkg/source pkg/wood",
	"pkg/moisture":             "data pkg/fault pkg/wood",
	"pkg/movement":             "pkg/fault pkg/moisture pkg/notice pkg/quantity pkg/wood",
	"pkg/pair":                 "pkg/adhesive pkg/fault pkg/internal/influence pkg/internal/risk pkg/joint pkg/layout pkg/moisture pkg/movement pkg/notice pkg/quantity pkg/strictjson pkg/verdict pkg/wood",
	"pkg/notice":               "data",
	"pkg/layout":               "pkg/adhesive pkg/fault pkg/moisture pkg/notice pkg/quantity pkg/strictjson pkg/wood",
	"pkg/internal/mesh":        "pkg/layout",
	"pkg/internal/plate":       "pkg/internal/matrix pkg/internal/mesh pkg/internal/sparse pkg/layout",
	"pkg/adhesive":             "data pkg/fault",
	"pkg/joint":                "data pkg/wood",
	"pkg/internal/boardtest":   "pkg/internal/boardgen pkg/layout",
	"pkg/internal/variation":   "data pkg/wood",
	"pkg/internal/risk":        "data pkg/verdict",
	"pkg/internal/sensitivity": "pkg/internal/influence pkg/internal/variation pkg/joint pkg/moisture pkg/relax pkg/verdict pkg/wood",
	"pkg/internal/fracture":    "pkg/joint",
	"pkg/derive":               "pkg/formula pkg/internal/influence pkg/internal/risk pkg/layout pkg/source pkg/verdict pkg/wood",
	"pkg/formula":              "",
	"pkg/raster":               "pkg/fault",
	"pkg/internal/layers":      "data pkg/relax",
	"pkg/internal/influence":   "pkg/adhesive pkg/fault pkg/internal/flatness pkg/internal/fracture pkg/internal/layers pkg/internal/matrix pkg/internal/mesh pkg/internal/plate pkg/internal/sparse pkg/joint pkg/layout pkg/moisture pkg/relax pkg/verdict pkg/wood",
	"pkg/internal/field":       "pkg/fault pkg/internal/influence pkg/layout pkg/moisture pkg/verdict",
	"pkg/picture":              "pkg/check pkg/draw pkg/fault pkg/layout pkg/moisture pkg/pair pkg/quantity pkg/verdict pkg/wood",
	"pkg/check":                "pkg/adhesive pkg/derive pkg/fault pkg/internal/field pkg/internal/influence pkg/internal/risk pkg/internal/sensitivity pkg/joint pkg/layout pkg/moisture pkg/notice pkg/quantity pkg/relax pkg/safety pkg/verdict pkg/wood",
	"pkg/arrange":              "data pkg/check pkg/fault pkg/internal/influence pkg/internal/matrix pkg/internal/mesh pkg/internal/plate pkg/joint pkg/layout pkg/quantity pkg/safety pkg/wood",
	"pkg/advice":               "pkg/arrange pkg/check pkg/fault pkg/layout pkg/moisture pkg/quantity pkg/safety pkg/wood",
	"pkg/window":               "pkg/adhesive pkg/check pkg/internal/influence pkg/layout pkg/moisture pkg/quantity pkg/relax pkg/verdict pkg/wood",
	"pkg/internal/flatness":    "data",
	"pkg/plan":                 "data pkg/adhesive pkg/check pkg/fault pkg/internal/influence pkg/layout pkg/moisture pkg/quantity pkg/safety pkg/source pkg/verdict pkg/window pkg/wood",
	"pkg/sheet":                "pkg/plan pkg/quantity pkg/verdict",
	"pkg/diagnose":             "data pkg/check pkg/fault pkg/internal/flatness pkg/layout pkg/moisture pkg/strictjson pkg/wood",
	"pkg/deck":                 "pkg/check pkg/fault pkg/internal/influence pkg/internal/mesh pkg/internal/plate pkg/internal/sparse pkg/layout pkg/moisture pkg/wood",
	"pkg/teach":                "data pkg/check pkg/derive pkg/fault pkg/formula pkg/layout pkg/moisture pkg/movement pkg/pair pkg/source",
	"pkg/outline":              "pkg/fault pkg/layout pkg/strictjson pkg/wood",
	"pkg/draw":                 "pkg/layout pkg/verdict",
	"pkg/report":               "pkg/advice pkg/arrange pkg/check pkg/derive pkg/diagnose pkg/movement pkg/notice pkg/pair pkg/plan pkg/quantity pkg/safety pkg/verdict pkg/window",
	"pkg/internal/boardgen":    "pkg/layout pkg/moisture",
	"pkg/internal/cholmod":     "",
	"pkg/internal/oracle":      "",
}

// sources parses the files of the module that are not tests.
func sources(t *testing.T, visit func(dir string, f *ast.File, set *token.FileSet)) {
	t.Helper()
	require.NoError(t, filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if n := d.Name(); path != "." && (strings.HasPrefix(n, ".") || n == "testdata") {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, path, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		visit(filepath.ToSlash(filepath.Dir(path)), f, set)
		return nil
	}))
}

// Arrows between packages go one way, and physics knows nothing of HTTP. An arrow
// that nobody uses is no longer allowed.
func TestArrowsGoOneWay(t *testing.T) {
	seen := map[string]bool{}
	used := map[[2]string]bool{}
	sources(t, func(dir string, f *ast.File, _ *token.FileSet) {
		physics := strings.HasPrefix(dir, "pkg/")
		allowed, known := maySee[dir]
		if physics || dir == "data" {
			assert.True(t, known, "%s is not in the list of this test", dir)
			seen[dir] = true
		}
		for _, im := range f.Imports {
			path := strings.Trim(im.Path.Value, `"`)
			if physics {
				for _, web := range []string{"net/http", "github.com/gin-gonic/gin", "github.com/getkin/kin-openapi"} {
					assert.NotEqual(t, web, path, "%s must not know HTTP", dir)
				}
			}
			inner, ours := strings.CutPrefix(path, module)
			used[[2]string{dir, inner}] = true
			if ours && known {
				assert.Contains(t, strings.Fields(allowed), inner, "%s imports %s", dir, inner)
			}
			if ours && strings.HasPrefix(dir, "api") {
				assert.NotEqual(t, "pkg/internal/plate", inner, "no physics in handlers")
				assert.NotEqual(t, "pkg/internal/sparse", inner, "no physics in handlers")
			}
		}
	})
	for dir := range maySee {
		assert.True(t, seen[dir], "%s is listed here but has no files", dir)
		for _, to := range strings.Fields(maySee[dir]) {
			assert.True(t, used[[2]string{dir, to}], "%s may import %s, but does not", dir, to)
		}
	}
}

// unit is what a doc comment must name when numbers go in or out: a unit, or
// the word that says there is none.
var unit = regexp.MustCompile(`(?i)\bmm\b|mm²|MPa|%|°|degree|\bN\b|N/mm|J/m²|m²/s|\bm/s\b|\bh\b|hour|dimensionless|fraction|factor|utilisation|\bMC\b|probab|standard|ratio|GPa|kg/m³|\bPa\b|inch|efficiency|share|weight|unknown|right-hand|\brad\b`)

// The doc comment of an exported function that takes or returns numbers names
// their unit.
func TestDocCommentsNameUnits(t *testing.T) {
	skip := map[string]bool{"pkg/internal/sparse": false, "pkg/draw": false, "pkg/strictjson": false, "pkg/internal/oracle": false, "pkg/internal/cholmod": false}
	sources(t, func(dir string, f *ast.File, set *token.FileSet) {
		if _, left := skip[dir]; left {
			skip[dir] = true
			return
		}
		if !strings.HasPrefix(dir, "pkg/") {
			return
		}
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || !fn.Name.IsExported() || !numbers(fn.Type) {
				continue
			}
			if fn.Recv != nil && !exported(fn.Recv.List[0].Type) {
				continue
			}
			assert.True(t, unit.MatchString(fn.Doc.Text()), "%s: %s names no unit", set.Position(fn.Pos()), fn.Name.Name)
		}
	})
	for dir, met := range skip {
		assert.True(t, met, "%s is left out here but has no files", dir)
	}
}

func exported(e ast.Expr) bool {
	if s, ok := e.(*ast.StarExpr); ok {
		e = s.X
	}
	id, ok := e.(*ast.Ident)
	return ok && id.IsExported()
}

// numbers tells whether float64 stands anywhere in a signature.
func numbers(ft *ast.FuncType) bool {
	found := false
	ast.Inspect(ft, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && id.Name == "float64" {
			found = true
		}
		return true
	})
	return found
}

// Files stay short enough to read in one sitting.
func TestFilesStayShort(t *testing.T) {
	sources(t, func(dir string, f *ast.File, set *token.FileSet) {
		lines := set.File(f.Pos()).LineCount()
		assert.LessOrEqual(t, lines, 500, "%s", set.Position(f.Pos()).Filename)
	})
}

// tableOf is the table of DEVELOPERS.md under a head.
func tableOf(t *testing.T, head string) string {
	text, err := os.ReadFile("DEVELOPERS.md")
	require.NoError(t, err)
	_, table, found := strings.Cut(string(text), head)
	require.True(t, found, head)
	table, _, _ = strings.Cut(table, "\n\n")
	return table
}

// The table of DEVELOPERS.md names every room.
func TestEveryRoomIsInTheTable(t *testing.T) {
	table := tableOf(t, "| room | one job |")
	sources(t, func(dir string, _ *ast.File, _ *token.FileSet) {
		if room := filepath.Base(dir); strings.Contains(dir, "/") {
			assert.Regexp(t, "`([^`]*/)?"+room+"`", table, "%s", dir)
		}
	})
}

// One judge: what opens and what slides is put together in package joint alone, the four
// words and their limits stand in package verdict alone, and no figure of a load over its
// limit is held against a number written out.
func TestOneJudge(t *testing.T) {
	words := map[string]bool{`"holds"`: true, `"tight"`: true, `"doubtful"`: true, `"fails"`: true}
	figures := map[string]bool{"Utilisation": true, "Index": true, "Figure": true, "Flatness": true, "OutOfFlat": true, "Stress": true, "U": true}
	judging := 0
	sources(t, func(dir string, f *ast.File, set *token.FileSet) {
		if dir == "pkg/joint" || dir == "pkg/verdict" || strings.HasPrefix(dir, "pkg/internal/oracle") {
			judging++
			return
		}
		at := func(n ast.Node) string { return set.Position(n.Pos()).String() }
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.BasicLit:
				assert.False(t, words[n.Value], "%s: %s is a word of package verdict", at(n), n.Value)
				assert.False(t, n.Value == "0.51" || n.Value == "0.71", "%s: %s is a limit of package verdict", at(n), n.Value)
			case *ast.CallExpr:
				if named(n.Fun) == "Hypot" && len(n.Args) == 2 {
					if c, ok := n.Args[0].(*ast.CallExpr); ok {
						assert.NotEqual(t, "max", strings.ToLower(named(c.Fun)), "%s: joint.Together puts opening and sliding together", at(n))
					}
				}
			case *ast.BinaryExpr:
				if lit, ok := n.Y.(*ast.BasicLit); ok && lit.Value != "0" && (n.Op == token.LSS || n.Op == token.LEQ || n.Op == token.GTR || n.Op == token.GEQ) {
					assert.False(t, figures[named(n.X)], "%s: a limit of package verdict or a constant with a name", at(n))
				}
			}
			return true
		})
	})
	assert.Greater(t, judging, 5)
}

// named is the last name of an expression.
func named(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return e.Sel.Name
	case *ast.StarExpr:
		return named(e.X)
	}
	return ""
}

// Every law that DEVELOPERS.md names is held by a test that exists.
func TestEveryLawHasItsTest(t *testing.T) {
	table := tableOf(t, "| law | held by |")
	tests := map[string]bool{}
	require.NoError(t, filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		src, err := os.ReadFile(path)
		for _, m := range regexp.MustCompile(`(?m)^func (Test\w+)\(`).FindAllSubmatch(src, -1) {
			tests[string(m[1])] = true
		}
		return err
	}))
	laws := 0
	for _, row := range strings.Split(strings.TrimSpace(table), "\n")[1:] {
		laws++
		held := regexp.MustCompile("`(Test\\w+)`").FindAllStringSubmatch(row, -1)
		assert.NotEmpty(t, held, row)
		for _, m := range held {
			assert.True(t, tests[m[1]], "%s is no test", m[1])
		}
	}
	assert.GreaterOrEqual(t, laws, 30)
}
