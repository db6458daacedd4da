package app

import (
	"context"
	"errors"
	"io"
	"os"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/outfile"
)

// outFiles are the files that a command writes besides its answer, each at a flag.
type outFiles struct {
	flags []*textFlag
	force *bool
}

// filesAt are the files at flags, with --force.
func filesAt(fs *pflag.FlagSet, flags ...*textFlag) outFiles {
	return outFiles{flags: flags, force: addForce(fs)}
}

func addForce(fs *pflag.FlagSet) *bool {
	return fs.Bool("force", false, "let those files replace what is there")
}

// check refuses, before anything is computed, files that could not be written. read are the names of the files
// that the answer is made from.
func (f *outFiles) check(read ...string) error {
	seen := map[string]string{}
	for _, flag := range f.flags {
		path, err := flag.Value()
		switch name := "--" + flag.name; {
		case err != nil:
			return err
		case path == "":
			continue
		case path == "-":
			return usage(name, flag.hint, "%s goes to a file, not to standard output, where the answer is; give a name such as %s", name, flag.hint)
		case seen[path] != "":
			return usage(name, "a file of its own", "%s and %s both name %s; give each its own file", seen[path], name, path)
		default:
			seen[path] = name
			if err := outfile.Check(path, *f.force); err != nil {
				return noFile(name, flag.hint, err)
			}
			for _, r := range read {
				if same(path, r) {
					return usage(name, "a file of its own", "%s: %s is what the answer is made from; give another name", name, path)
				}
			}
		}
	}
	return nil
}

// same tells whether two names lead to one file.
func same(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}

// noFile words why a file is not written.
func noFile(flag, hint string, err error) error {
	e := &Error{Exit: ExitFailure, Where: flag, Message: flag + ": " + err.Error(), Err: err}
	var o *outfile.Error
	if errors.As(err, &o) && o.Refused {
		e.Exit, e.Expected = ExitUsage, "the name of a new file, such as "+hint
	}
	return e
}

// write writes the files that are asked for, all or none: writers are for the flags in their order, nil where one is
// not to be written after all.
func (f *outFiles) write(ctx context.Context, inv *invocation, writers []func(io.Writer) error) error {
	type ready struct {
		flag *textFlag
		file *outfile.Staged
	}
	var staged []ready
	defer func() {
		for _, r := range staged {
			r.file.Discard()
		}
	}()
	told := ""
	for i, flag := range f.flags {
		path, err := flag.Value()
		switch {
		case err != nil:
			return err
		case path == "" || writers[i] == nil:
			continue
		}
		file, err := outfile.Stage(ctx, path, *f.force, writers[i])
		if err != nil {
			return writeFailed(flag, err)
		}
		staged = append(staged, ready{flag, file})
		is := " is"
		if flag.name == "cards" || flag.name == "hands" {
			is = " are"
		}
		told += "The " + flag.name + is + " in " + oneLine(path) + ".\n"
	}
	for _, r := range staged {
		if err := r.file.Commit(); err != nil {
			return writeFailed(r.flag, err)
		}
	}
	return write(inv.Notes, told)
}

func writeFailed(flag *textFlag, err error) error {
	if errors.Is(err, context.Canceled) {
		return err
	}
	return noFile("--"+flag.name, flag.hint, err)
}
