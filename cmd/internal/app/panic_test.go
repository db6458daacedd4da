package app

import (
	"bytes"
	"context"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/page"
	"limeday/drying/parallel"
)

// faulty are commands that panic, each elsewhere.
func faulty() []*command {
	made := func(name string, run runner) *command {
		return &command{name: name, summary: "breaks", setup: func(*pflag.FlagSet) runner { return run }}
	}
	var none []int
	return []*command{
		made("here", func(context.Context, *invocation) error { panic("a caller's\nfault") }),
		made("index", func(_ context.Context, inv *invocation) error {
			_ = write(inv.Out, "half an answer")
			return write(inv.Out, string(rune(none[3])))
		}),
		made("worker", func(context.Context, *invocation) error {
			return parallel.Each(8, func(i int) error { none[i]++; return nil })
		}),
		made("text", func(_ context.Context, inv *invocation) error {
			return inv.Answer(unsayable{}, func() string { panic("in the text") })
		}),
		{name: "setup", summary: "breaks", setup: func(*pflag.FlagSet) runner { panic("in the flags") }},
	}
}

// unsayable panics when it is put into JSON.
type unsayable struct{}

func (unsayable) MarshalJSON() ([]byte, error) { panic("in the JSON") }

// A panic anywhere is one sentence and exit status 1, and nothing is answered.
func TestPanicsAreToldInOneSentence(t *testing.T) {
	for _, c := range faulty() {
		for _, asJSON := range []bool{false, true} {
			args := []string{c.name}
			if asJSON {
				args = append(args, "--json")
			}
			var out, errs bytes.Buffer
			code := runTable(context.Background(), faulty(), args, Env{Stdin: strings.NewReader(""), Stdout: &out, Stderr: &errs, Now: time.Now})
			said := errs.String()
			if asJSON {
				var e errorAnswer
				if err := json.Unmarshal(errs.Bytes(), &e); err != nil || e.Exit != ExitFailure {
					t.Errorf("%s: %v, %s", c.name, err, said)
				}
				said = e.Message + "\n"
			}
			if code != ExitFailure || out.Len() > 0 || !strings.Contains(said, "went wrong inside limeday") || !strings.Contains(said, "(cmd/internal/app/panic_test.go:") ||
				!asJSON && strings.Count(said, "\n") != 1 {
				t.Errorf("%s: exit status %d, answer %q, told %q", c.name, code, out.String(), said)
			}
		}
	}
}

// A page that cannot be made is one sentence with status 500; the server and its other pages go on.
func TestPanicsOfPagesAreToldInOneSentence(t *testing.T) {
	var notes bytes.Buffer
	d := &desk{inv: &invocation{Notes: &notes}}
	h := page.Safe(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/bad" {
			panic("a page's fault")
		}
	}), func(f func()) bool { return d.catch(f) == nil })
	for path, want := range map[string]int{"/bad": http.StatusInternalServerError, "/good": http.StatusOK} {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
		if w.Code != want {
			t.Errorf("%s: status %d", path, w.Code)
		}
		if want != http.StatusOK && (!strings.Contains(w.Body.String(), "Something went wrong inside limeday") || strings.Contains(w.Body.String(), "a page's fault")) {
			t.Errorf("%s: %s", path, w.Body)
		}
	}
	if said := notes.String(); strings.Count(said, "\n") != 1 || !strings.Contains(said, "a page's fault (cmd/internal/app/panic_test.go:") {
		t.Errorf("told %q", said)
	}
	d.background.Go(d.caught(func() { panic("behind a page") }))
	d.wait()
	if !strings.Contains(notes.String(), "behind a page") {
		t.Errorf("told %q", notes.String())
	}
}

// Files are written when the answer is made: a fault in making it leaves none behind.
func TestAnswersAreMadeBeforeFilesAreWritten(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			f, ok := n.(*ast.FuncDecl)
			if !ok {
				return true
			}
			var answer token.Pos
			var writes []token.Pos
			ast.Inspect(f, func(n ast.Node) bool {
				call, ok := n.(*ast.CallExpr)
				if !ok {
					return true
				}
				sel, ok := call.Fun.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				first := ""
				if len(call.Args) > 0 {
					if id, ok := call.Args[0].(*ast.Ident); ok {
						first = id.Name
					}
				}
				switch {
				case sel.Sel.Name == "Answer" && !answer.IsValid():
					answer = call.Pos()
				case (sel.Sel.Name == "write" || sel.Sel.Name == "picture" || sel.Sel.Name == "Stage") && first == "ctx":
					writes = append(writes, call.Pos())
				}
				return true
			})
			for _, w := range writes {
				if answer.IsValid() {
					seen++
					if w < answer {
						t.Errorf("%s writes files before its answer is made", f.Name.Name)
					}
				}
			}
			return true
		})
	}
	if seen < 8 {
		t.Errorf("only %d functions that answer and write files were found", seen)
	}
}

// Nothing is written by today when its text cannot be made.
func TestTodayWritesAllOrNone(t *testing.T) {
	dir := t.TempDir()
	code, out, errs := runAt("", "today", "--temp", "12C", "--rh", "70", "--sheet", dir+"/a.html", "--picture", dir+"/missing/b.svg")
	left, err := os.ReadDir(dir)
	if err != nil || code == ExitOK || out != "" || len(left) > 0 {
		t.Errorf("exit status %d, %q, %q, %v left", code, out, errs, left)
	}
}
