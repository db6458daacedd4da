package archtest

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "limeday"

// edges names every import allowed between the project's packages. A package
// that is not here may import none of them. Arrows run one way:
// cmd -> drying -> weather -> psychro.
var edges = map[string][]string{
	"psychro": {},
	"weather": {"psychro"},

	// Services and files: the outside world ends in each, and only cmd and
	// weather/source know them.
	"weather/metno":     {"weather", "weather/fetch", "psychro"},
	"weather/nws":       {"weather", "weather/fetch", "psychro"},
	"weather/power":     {"weather", "weather/fetch", "psychro"},
	"weather/openmeteo": {"weather", "weather/fetch", "psychro"},
	"weather/epw":       {"weather", "psychro"},
	"weather/isdlite":   {"weather", "psychro"},
	"weather/columns":   {"weather", "psychro"},
	"weather/logfile":   {"weather", "psychro"},
	"weather/fetch":     {},
	"weather/sky":       {"weather", "psychro"},
	"weather/source": {"weather", "weather/metno", "weather/nws", "weather/power", "weather/openmeteo",
		"weather/columns", "weather/epw", "weather/isdlite", "weather/logfile", "weather/fetch", "psychro"},

	// The rooms. wall knows no plasterer; of the rooms only exposure and season
	// know weather, and only its plain records.
	"drying/wall":     {"psychro"},
	"drying/material": {"drying/wall", "psychro"},
	"drying/coat":     {"drying/material", "drying/wall", "psychro"},
	"drying/exposure": {"drying/material", "drying/wall", "weather", "weather/sky", "psychro"},
	"drying/cure":     {"drying/coat", "drying/material", "drying/wall", "psychro"},
	"drying/course":   {"drying/coat", "drying/material", "drying/wall", "psychro"},
	"drying/learn":    {"drying/coat", "drying/course", "drying/material", "drying/wall", "psychro", "drying/parallel"},

	// The facade, and the three that stand on it.
	"drying":          {"drying/coat", "drying/course", "drying/cure", "drying/exposure", "drying/learn", "drying/material", "drying/message", "drying/wall", "weather", "psychro", "drying/parallel"},
	"drying/season":   {"drying", "drying/exposure", "weather", "psychro", "drying/parallel"},
	"drying/crew":     {"drying", "drying/message", "psychro", "drying/parallel"},
	"drying/message":  {},
	"drying/practice": {"drying", "drying/crew", "drying/material", "drying/message", "weather", "psychro"},

	"cmd/limeday":           {"cmd/internal/app"},
	"cmd/internal/app":      {"cmd/internal/calendar", "cmd/internal/config", "cmd/internal/diary", "cmd/internal/drawing", "cmd/internal/fault", "cmd/internal/job", "cmd/internal/near", "cmd/internal/outfile", "cmd/internal/page", "cmd/internal/quantity", "cmd/internal/sheet", "cmd/internal/timing", "cmd/internal/wire", "weather/logfile", "drying", "drying/crew", "drying/material", "drying/message", "drying/practice", "drying/season", "cmd/internal/view", "weather", "weather/source", "psychro", "cmd/internal/infile", "cmd/internal/intake", "cmd/internal/text", "drying/parallel"},
	"cmd/internal/archtest": {},
	"cmd/internal/calendar": {"cmd/internal/view", "drying/message"},
	"cmd/internal/config":   {"cmd/internal/fault", "cmd/internal/quantity", "cmd/internal/infile"},
	"cmd/internal/diary":    {"cmd/internal/fault", "cmd/internal/quantity", "drying/material", "cmd/internal/infile"},
	"cmd/internal/drawing":  {"cmd/internal/quantity", "cmd/internal/view", "drying/message"},
	"cmd/internal/fault":    {},
	"cmd/internal/job":      {"cmd/internal/fault", "cmd/internal/near", "cmd/internal/quantity", "cmd/internal/infile"},
	"cmd/internal/mirror":   {},
	"cmd/internal/near":     {},
	"cmd/internal/outfile":  {"cmd/internal/fault"},
	"cmd/internal/page":     {"cmd/internal/quantity", "cmd/internal/sheet", "cmd/internal/drawing"},
	"cmd/internal/quantity": {"cmd/internal/near"},
	"cmd/internal/sheet":    {"cmd/internal/drawing", "cmd/internal/view", "drying/message"},
	"cmd/internal/timing":   {"cmd/internal/fault", "drying", "cmd/internal/infile"},
	"cmd/internal/wire":     {"cmd/internal/view", "drying/message", "psychro", "weather"},
	"cmd/internal/view":     {"cmd/internal/quantity", "drying", "drying/coat", "drying/message", "psychro", "weather"},
	"cmd/internal/infile":   {},
	"cmd/internal/intake":   {"cmd/internal/infile", "cmd/internal/diary", "cmd/internal/fault", "cmd/internal/job", "cmd/internal/quantity", "cmd/internal/timing", "drying", "drying/material", "drying/message", "weather", "weather/columns", "weather/logfile", "weather/source", "psychro"},
	"drying/parallel":       {},
	"cmd/internal/text":     {"cmd/internal/view", "drying/message"},
}

// layers, from the bottom. Tests may import sideways and down, never up.
var layers = []string{"psychro", "weather", "drying", "cmd"}

func layer(pkg string) int {
	top, _, _ := strings.Cut(pkg, "/")
	return slices.Index(layers, top)
}

// listed is what go list says of a package.
type listed struct {
	ImportPath   string
	Imports      []string
	Deps         []string
	TestImports  []string
	XTestImports []string
}

// violations are the imports that the rules forbid.
func violations(pkgs []listed) []string {
	var bad []string
	for _, p := range pkgs {
		name := strings.TrimPrefix(p.ImportPath, module+"/")
		allowed, known := edges[name]
		if !known {
			bad = append(bad, fmt.Sprintf("%s is not in the list of packages", name))
		}
		for _, imp := range p.Imports {
			if inner, ours := strings.CutPrefix(imp, module+"/"); ours && !slices.Contains(allowed, inner) {
				bad = append(bad, fmt.Sprintf("%s imports %s", name, inner))
			} else if name == "psychro" && !ours && !standard(imp) && !strings.HasPrefix(imp, "gonum.org/v1/gonum/") {
				bad = append(bad, fmt.Sprintf("psychro imports %s: only the standard library and gonum are allowed", imp))
			}
		}
		for _, imp := range slices.Concat(p.TestImports, p.XTestImports) {
			if inner, ours := strings.CutPrefix(imp, module+"/"); ours && layer(inner) > layer(name) {
				bad = append(bad, fmt.Sprintf("a test of %s imports %s", name, inner))
			}
		}
		if l := layer(name); l == 0 || l == 2 {
			for _, dep := range p.Deps {
				if dep == "net/http" || strings.Contains(dep, "/resty") {
					bad = append(bad, fmt.Sprintf("%s reaches %s", name, dep))
				}
			}
		}
	}
	return bad
}

// standard reports whether an import path is of the standard library: its
// first element has no dot.
func standard(path string) bool {
	first, _, _ := strings.Cut(path, "/")
	return !strings.Contains(first, ".")
}

func root(t *testing.T) string {
	t.Helper()
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(string(out))
}

func TestImports(t *testing.T) {
	cmd := exec.Command("go", "list", "-json=ImportPath,Imports,Deps,TestImports,XTestImports", "./...")
	cmd.Dir = root(t)
	out, err := cmd.Output()
	if err != nil {
		var exit *exec.ExitError
		if errors.As(err, &exit) {
			t.Fatalf("go list: %s", exit.Stderr)
		}
		t.Fatal(err)
	}
	var pkgs []listed
	for dec := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		pkgs = append(pkgs, p)
	}
	if len(pkgs) < 5 {
		t.Fatalf("go list found only %d packages", len(pkgs))
	}
	for _, bad := range violations(pkgs) {
		t.Error(bad)
	}
}

// The rules catch what they are there for.
func TestImportRulesBite(t *testing.T) {
	for _, tc := range []struct {
		planted listed
		want    string
	}{
		{listed{ImportPath: "limeday/psychro", Imports: []string{"limeday/drying"}}, "psychro imports drying"},
		{listed{ImportPath: "limeday/psychro", Imports: []string{"math", "gonum.org/v1/gonum/mat", "github.com/spf13/pflag"}}, "psychro imports github.com/spf13/pflag: only the standard library and gonum are allowed"},
		{listed{ImportPath: "limeday/drying/wall", Imports: []string{"limeday/drying/material"}}, "drying/wall imports drying/material"},
		{listed{ImportPath: "limeday/drying/coat", Imports: []string{"limeday/weather"}}, "drying/coat imports weather"},
		{listed{ImportPath: "limeday/drying", Imports: []string{"limeday/weather/metno"}}, "drying imports weather/metno"},
		{listed{ImportPath: "limeday/drying", Deps: []string{"net/http"}}, "drying reaches net/http"},
		{listed{ImportPath: "limeday/psychro", Deps: []string{"github.com/go-resty/resty/v2"}}, "psychro reaches github.com/go-resty/resty/v2"},
		{listed{ImportPath: "limeday/weather", XTestImports: []string{"limeday/drying"}}, "a test of weather imports drying"},
		{listed{ImportPath: "limeday/drying/extra"}, "drying/extra is not in the list of packages"},
	} {
		if got := violations([]listed{tc.planted}); len(got) != 1 || got[0] != tc.want {
			t.Errorf("planted %+v: found %q, want %q", tc.planted, got, tc.want)
		}
	}
}

// What reads or waits for the clock, in package time.
var clock = []string{"Now", "Since", "Until", "Local", "After", "AfterFunc", "Tick", "NewTicker", "NewTimer", "Sleep"}

// What a seeded generator is made with, in math/rand and math/rand/v2.
var seeded = []string{"New", "NewSource", "NewPCG", "NewChaCha8", "NewZipf", "Rand", "Source", "Source64", "PCG", "ChaCha8", "Zipf"}

// hidden finds the clock and chance that a file takes from nowhere.
func hidden(name string, src any) ([]string, error) {
	fset := token.NewFileSet()
	f, err := parser.ParseFile(fset, name, src, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	var bad []string
	blame := func(n ast.Node, what string) {
		bad = append(bad, fmt.Sprintf("%s: %s", fset.Position(n.Pos()), what))
	}
	local := map[string]string{} // name in this file -> import path
	for _, imp := range f.Imports {
		path, err := strconv.Unquote(imp.Path.Value)
		if err != nil {
			return nil, err
		}
		as := path[strings.LastIndex(path, "/")+1:]
		if path == "math/rand/v2" {
			as = "rand"
		}
		if imp.Name != nil {
			as = imp.Name.Name
		}
		if path == "crypto/rand" {
			blame(imp, "crypto/rand cannot be seeded")
		}
		if path == "time" || path == "math/rand" || path == "math/rand/v2" {
			if as == "." {
				blame(imp, path+" is imported into the file's own names, where its use cannot be seen")
			}
			local[as] = path
		}
	}
	ast.Inspect(f, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		path := ""
		if id, ok := sel.X.(*ast.Ident); ok {
			path = local[id.Name]
		}
		switch {
		case path == "time" && slices.Contains(clock, sel.Sel.Name):
			blame(sel, "time."+sel.Sel.Name+" is a hidden clock or zone")
		case strings.HasPrefix(path, "math/rand") && !slices.Contains(seeded, sel.Sel.Name):
			blame(sel, "rand."+sel.Sel.Name+" is hidden randomness")
		case path == "" && sel.Sel.Name == "Local":
			blame(sel, "Local gives a time the zone of this machine")
		}
		return true
	})
	return bad, nil
}

func TestNoHiddenClockOrChance(t *testing.T) {
	dir := root(t)
	files := 0
	for _, top := range []string{"drying", "psychro", "weather"} {
		err := filepath.WalkDir(filepath.Join(dir, top), func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if d.IsDir() && path == filepath.Join(dir, "weather", "fetch") {
				return fs.SkipDir // its clock is injected; its own tests see to that
			}
			if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return nil
			}
			files++
			bad, err := hidden(path, nil)
			for _, b := range bad {
				t.Error(b)
			}
			return err
		})
		if err != nil {
			t.Error(err)
		}
	}
	if files < 5 {
		t.Errorf("only %d files were read", files)
	}
}

func TestHiddenClockRulesBite(t *testing.T) {
	for src, want := range map[string]int{
		`import "time"; var a = time.Now()`:                                            1,
		`import "time"; var a = time.Since`:                                            1,
		`import t "time"; var a, b = t.Until, t.Local`:                                 2,
		`import . "time"; var a = Now()`:                                               1,
		`import "time"; func f(t time.Time) time.Time { return t.Local() }`:            1,
		`import "time"; func f(t time.Time) time.Time { return t.In(time.UTC) }`:       0,
		`import "math/rand"; var a = rand.Float64()`:                                   1,
		`import "math/rand/v2"; var a = rand.IntN(3)`:                                  1,
		`import r "math/rand/v2"; var a = r.Shuffle`:                                   1,
		`import "math/rand/v2"; var a = rand.New(rand.NewPCG(1, 2)).Float64()`:         0,
		`import "crypto/rand"; var a = rand.Reader`:                                    1,
		`type clock struct{ Now func() }; func f(time clock) { time.Now() }`:           0,
		`import "time"; var day = time.Date(2026, 4, 14, 0, 0, 0, 0, time.UTC).Add(1)`: 0,
	} {
		if got, err := hidden("planted.go", "package p; "+src); err != nil || len(got) != want {
			t.Errorf("%s: found %q (%v), want %d", src, got, err, want)
		}
	}
}

// standsWall finds where a file names what stands a wall up, in package coat.
func standsWall(name string, src any) ([]string, error) {
	fset := token.NewFileSet()
	f, err := parser.ParseFile(fset, name, src, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	local := ""
	for _, imp := range f.Imports {
		if imp.Path.Value != strconv.Quote(module+"/drying/coat") {
			continue
		}
		if local = "coat"; imp.Name != nil {
			local = imp.Name.Name
		}
	}
	var bad []string
	ast.Inspect(f, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if id, is := n.(*ast.Ident); !ok && is && local == "." && (id.Name == "Stand" || id.Name == "Wall") {
			bad = append(bad, fmt.Sprintf("%s: %s", fset.Position(id.Pos()), id.Name))
		}
		if !ok || local == "" {
			return true
		}
		if id, is := sel.X.(*ast.Ident); is && id.Name == local && (sel.Sel.Name == "Stand" || sel.Sel.Name == "Wall") {
			bad = append(bad, fmt.Sprintf("%s: coat.%s", fset.Position(sel.Pos()), sel.Sel.Name))
		}
		return true
	})
	return bad, nil
}

// Only drying/course and the tests of coat have a wall of coat's in their hands: all else reads it off a course.
func TestOneCourse(t *testing.T) {
	dir := root(t)
	files := 0
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(dir, path)
		switch {
		case d.IsDir() && (strings.HasPrefix(d.Name(), ".") && rel != "." || d.Name() == "testdata" || rel == filepath.Join("drying", "coat") || rel == filepath.Join("drying", "course")):
			return fs.SkipDir
		case d.IsDir() || !strings.HasSuffix(path, ".go"):
			return nil
		}
		files++
		bad, err := standsWall(path, nil)
		for _, b := range bad {
			t.Error(b)
		}
		return err
	})
	if err != nil || files < 100 {
		t.Errorf("%d files were read: %v", files, err)
	}
	for src, want := range map[string]int{
		`import "limeday/drying/coat"; var w *coat.Wall`:                       1,
		`import c "limeday/drying/coat"; var a, _ = c.Stand(b, s, 0)`:          1,
		`import . "limeday/drying/coat"; var a, _ = Stand(b, s, 0)`:            1,
		`import "limeday/drying/coat"; var a coat.Coat`:                        0,
		`import "limeday/drying/course"; func f(c *course.Course) { c.To(1) }`: 0,
		`import "example.org/coat"; var w coat.Wall`:                           0,
	} {
		if got, err := standsWall("planted.go", "package p; "+src); err != nil || len(got) != want {
			t.Errorf("%s: found %q (%v), want %d", src, got, err, want)
		}
	}
}

// The top of the tree: these and hidden files, nothing else.
var topLevel = []string{"cmd", "drying", "weather", "psychro", "testdata", "go.mod", "go.sum", "README.md", "DEVELOPERS.md"}

func strangers(names []string) []string {
	return slices.DeleteFunc(slices.Clone(names), func(n string) bool {
		return strings.HasPrefix(n, ".") || slices.Contains(topLevel, n)
	})
}

func TestTopLevel(t *testing.T) {
	dir := root(t)
	var names []string
	// What git tracks or would track, so that a built binary does not count.
	git := exec.Command("git", "ls-files", "-z", "--cached", "--others", "--exclude-standard")
	git.Dir = dir
	if out, err := git.Output(); err == nil {
		for _, f := range strings.Split(strings.TrimRight(string(out), "\x00"), "\x00") {
			top, _, _ := strings.Cut(f, "/")
			names = append(names, top)
		}
	} else {
		entries, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			names = append(names, e.Name())
		}
	}
	if !slices.Contains(names, "go.mod") {
		t.Fatalf("go.mod is not among %q", slices.Compact(names))
	}
	if bad := strangers(names); len(bad) > 0 {
		t.Errorf("at the top of the tree, besides hidden files, only %s may stand; found %s",
			strings.Join(topLevel, " "), strings.Join(slices.Compact(bad), " "))
	}
	if bad := strangers([]string{"cmd", ".ci", "internal", "go.sum"}); !slices.Equal(bad, []string{"internal"}) {
		t.Errorf("the rule does not bite: %q", bad)
	}
}
