package app

import (
	"context"
	"embed"
	"slices"
	"strings"
	"text/template"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/quantity"
)

// The scripts are written by hand; only names, words and usages are filled in.
//
//go:embed completion/*.tmpl
var scripts embed.FS

var shells = []string{"bash", "zsh", "fish"}

type completionAnswer struct {
	Schema string `json:"schema"`
	Shell  string `json:"shell"`
	Script string `json:"script"`
}

func completionCommand() *command {
	return &command{
		name:    "completion",
		args:    "SHELL",
		maxArgs: 1,
		words:   shells,
		summary: "a script that completes commands in bash, zsh or fish",
		examples: []example{
			{"source <(limeday completion bash)", "for this bash session; put it in ~/.bashrc to keep it"},
			{"limeday completion fish > ~/.config/fish/completions/limeday.fish", "for every fish session"},
		},
		setup: func(*pflag.FlagSet) runner {
			return func(_ context.Context, inv *invocation) error {
				if len(inv.Args) == 0 {
					return usage("SHELL", "bash, zsh or fish", "completion needs the name of a shell: bash, zsh or fish")
				}
				shell := inv.Args[0]
				if !slices.Contains(shells, shell) {
					e := quantity.Unknown("shell", shell, shells)
					return usage(shell, e.Expected, "%s", e.Reason)
				}
				script, err := completionScript(shell, commands())
				if err != nil {
					return err
				}
				return inv.Answer(completionAnswer{"limeday.completion/1", shell, script}, func() string { return script })
			}
		},
	}
}

// completed is what a script knows of a command.
type completed struct {
	Name, Summary, Argument string
	Words                   []string // that the argument can be
	Files                   bool     // the argument, or what follows such a word, is a file
	Then                    []string // that what follows can be besides
	Flags                   []completedFlag
}

type completedFlag struct {
	Name, Usage, Hint string
	Takes             bool     // takes a value
	Words             []string // that the value can be
	Files             bool     // the value is a file
}

func completionScript(shell string, table []*command) (string, error) {
	var data []completed
	for _, c := range table {
		fs, _ := c.build(&invocation{})
		d := completed{Name: c.name, Summary: c.summary, Argument: strings.Trim(c.args, "[]"), Words: c.words, Files: c.files, Then: c.then}
		fs.VisitAll(func(f *pflag.Flag) {
			words := f.Annotations[offersAnnotation]
			d.Flags = append(d.Flags, completedFlag{
				Name: f.Name, Usage: f.Usage, Hint: f.Value.Type(), Words: words,
				Takes: f.NoOptDefVal == "", Files: f.Value.Type() == "FILE",
			})
		})
		d.Flags = append(d.Flags, completedFlag{Name: "help", Usage: "print this help"})
		data = append(data, d)
	}
	name := shell + ".tmpl"
	t, err := template.New(name).Funcs(template.FuncMap{
		"join": strings.Join, "quote": shellQuote, "zshFlag": zshFlag,
	}).ParseFS(scripts, "completion/"+name)
	if err != nil {
		return "", err
	}
	var b strings.Builder
	if err := t.Execute(&b, data); err != nil {
		return "", err
	}
	return b.String(), nil
}

// shellQuote puts s between single quotes for bash and zsh. fish reads a
// backslash in them, so texts for it hold none.
func shellQuote(s string) string {
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}

// zshFlag is one argument of zsh's _arguments.
func zshFlag(f completedFlag) string {
	bracket := strings.NewReplacer("[", "(", "]", ")", ":", `\:`)
	spec := "--" + f.Name
	if f.Takes {
		spec += "="
	}
	spec += "[" + bracket.Replace(f.Usage) + "]"
	switch {
	case len(f.Words) > 0:
		spec += ":" + bracket.Replace(f.Hint) + ":(" + strings.Join(f.Words, " ") + ")"
	case f.Files:
		spec += ":file:_files"
	case f.Takes:
		spec += ":" + bracket.Replace(f.Hint) + ":"
	}
	return shellQuote(spec)
}
