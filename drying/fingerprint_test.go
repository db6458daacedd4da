package drying_test

import (
	"crypto/sha256"
	"encoding/hex"
	"flag"
	"fmt"
	"go/parser"
	"go/scanner"
	"go/token"
	"io/fs"
	"os"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"limeday/drying"
)

var updateFingerprint = flag.Bool("update-fingerprint", false, "write the fingerprint of the model anew")

// modelOf are the packages that a kept result comes from, with all of the project's that they import.
const modelOf = "drying/season"

// fingerprintFile is not part of what it tells.
const fingerprintFile = "drying/fingerprint.go"

// sources are the files of a package and of those it imports, in order.
func sources(tree fs.FS, pkg string) (files []string, err error) {
	seen := map[string]bool{}
	var walk func(pkg string) error
	walk = func(pkg string) error {
		if seen[pkg] {
			return nil
		}
		seen[pkg] = true
		all, err := fs.Glob(tree, pkg+"/*.go")
		if err != nil {
			return err
		}
		for _, name := range all {
			if strings.HasSuffix(name, "_test.go") || name == fingerprintFile {
				continue
			}
			files = append(files, name)
			src, err := fs.ReadFile(tree, name)
			if err != nil {
				return err
			}
			f, err := parser.ParseFile(token.NewFileSet(), name, src, parser.ImportsOnly)
			if err != nil {
				return err
			}
			for _, imp := range f.Imports {
				p, err := strconv.Unquote(imp.Path.Value)
				if err != nil {
					return err
				}
				if inner, ours := strings.CutPrefix(p, "limeday/"); ours {
					if err := walk(inner); err != nil {
						return err
					}
				}
			}
		}
		return nil
	}
	err = walk(pkg)
	slices.Sort(files)
	return files, err
}

var gonum = regexp.MustCompile(`(?m)^\s*gonum\.org/v1/gonum (v\S+)`)

// fingerprint is that of a tree: a change of any number, name or word of the sources changes it, one of comments or blanks
// does not.
func fingerprint(tree fs.FS) (string, error) {
	mod, err := fs.ReadFile(tree, "go.mod")
	if err != nil {
		return "", err
	}
	version := gonum.FindSubmatch(mod)
	if version == nil {
		return "", fmt.Errorf("go.mod names no gonum")
	}
	h := sha256.New()
	fmt.Fprintf(h, "gonum %s\n", version[1])
	files, err := sources(tree, modelOf)
	if err != nil {
		return "", err
	}
	for _, name := range files {
		src, err := fs.ReadFile(tree, name)
		if err != nil {
			return "", err
		}
		fmt.Fprintf(h, "file %s\n", name)
		var s scanner.Scanner
		fset := token.NewFileSet()
		s.Init(fset.AddFile(name, -1, len(src)), src, nil, 0) // comments are passed over
		for {
			_, tok, lit := s.Scan()
			if tok == token.EOF {
				break
			}
			if tok == token.SEMICOLON {
				lit = "" // written or at a line's end
			}
			fmt.Fprintf(h, "%s %q\n", tok, lit)
		}
	}
	return hex.EncodeToString(h.Sum(nil))[:32], nil
}

// A changed model has another fingerprint, so that nothing kept from before is served.
func TestFingerprint(t *testing.T) {
	want, err := fingerprint(os.DirFS(".."))
	if err != nil {
		t.Fatal(err)
	}
	if *updateFingerprint {
		src, err := os.ReadFile("fingerprint.go")
		if err != nil {
			t.Fatal(err)
		}
		src = regexp.MustCompile(`Fingerprint = "[0-9a-f]*"`).ReplaceAll(src, []byte(`Fingerprint = "`+want+`"`))
		if err := os.WriteFile("fingerprint.go", src, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if drying.Fingerprint != want {
		t.Errorf("the sources of the model have changed: its fingerprint is %s, and drying/fingerprint.go has %q.\n"+
			"So that no result of the old model is served, write it anew: go generate ./drying", want, drying.Fingerprint)
	}
}

// What the fingerprint sees, and what it does not.
func TestFingerprintSees(t *testing.T) {
	tree := func() fstest.MapFS {
		return fstest.MapFS{
			"go.mod":                   {Data: []byte("module limeday\n\nrequire (\n\tgonum.org/v1/gonum v0.17.0\n)\n")},
			"drying/season/season.go":  {Data: []byte("package season\n\nimport \"limeday/drying/wall\"\n\nvar X = wall.K // kept\n")},
			"drying/wall/wall.go":      {Data: []byte("package wall\n\n// K is so much.\nconst K = 0.6\n")},
			"drying/crew/crew.go":      {Data: []byte("package crew\n\nconst N = 1\n")},
			"drying/wall/wall_test.go": {Data: []byte("package wall\n")},
		}
	}
	of := func(change func(fstest.MapFS)) string {
		m := tree()
		change(m)
		f, err := fingerprint(m)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	put := func(name, data string) func(fstest.MapFS) {
		return func(m fstest.MapFS) { m[name] = &fstest.MapFile{Data: []byte(data)} }
	}
	same := of(func(fstest.MapFS) {})
	for what, f := range map[string]func(fstest.MapFS){
		"a constant of the wall": put("drying/wall/wall.go", "package wall\n\nconst K = 0.61\n"),
		"a word of the season":   put("drying/season/season.go", "package season\n\nimport \"limeday/drying/wall\"\n\nvar X = wall.K + \"\"\n"),
		"a new file":             put("drying/wall/more.go", "package wall\n"),
		"gonum's version":        put("go.mod", "module limeday\n\nrequire gonum.org/v1/gonum v0.18.0\nrequire (\n\tgonum.org/v1/gonum v0.18.0\n)\n"),
		"what is newly imported": put("drying/wall/wall.go", "package wall\n\nimport _ \"limeday/drying/crew\"\n\nconst K = 0.6\n"),
	} {
		if of(f) == same {
			t.Errorf("%s is not seen", what)
		}
	}
	for what, f := range map[string]func(fstest.MapFS){
		"comments and blanks":  put("drying/wall/wall.go", "package wall\n\n/* much */\n\nconst   K = 0.6 // else\n"),
		"a test":               put("drying/wall/wall_test.go", "package wall\n\nvar x = 1\n"),
		"what is not imported": put("drying/crew/crew.go", "package crew\n\nconst N = 2\n"),
		"the fingerprint":      put(fingerprintFile, "package drying\n\nconst Fingerprint = \"1\"\n"),
	} {
		if of(f) != same {
			t.Errorf("%s is seen", what)
		}
	}
	files, err := sources(os.DirFS(".."), modelOf)
	for _, name := range []string{"drying/wall/newton.go", "drying/coat/wall.go", "drying/verdict.go", "psychro/saturation.go", "weather/sky/light.go", "drying/season/season.go"} {
		if _, serr := os.Stat(path.Join("..", name)); serr == nil && !slices.Contains(files, name) {
			t.Errorf("%s is not among the model's sources (%v)", name, err)
		}
	}
}
