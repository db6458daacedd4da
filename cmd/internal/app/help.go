package app

import (
	"fmt"
	"strings"

	"github.com/spf13/pflag"
)

func helpAll(table []*command) string {
	var b strings.Builder
	b.WriteString("limeday tells a lime plasterer, from the air and the wall, when to work.\n\n")
	for _, e := range firstExamples(table, 3) {
		fmt.Fprintf(&b, "  %s\n      %s\n", e.line, e.says)
	}
	b.WriteString("\nUse: limeday COMMAND [flags]\n\n")
	for _, c := range table {
		fmt.Fprintf(&b, "  %-12s%s\n", c.name, c.summary)
	}
	b.WriteString(`
limeday COMMAND --help shows a command's examples and flags.
limeday --version prints the version. --json on any command answers in JSON.

Numbers carry their unit (14C 57F 1013hPa 0.1mm 8mil). Bare ones follow --units:
metric (C, m, mm, m/s, kg/m2, hPa) or us (F, ft, mil, mph, lb/ft2, inHg).

Exit status: 0 answered, 1 other failure, 2 usage, 3 bad input, 4 no weather,
5 outside what the model knows, 130 interrupted.
`)
	return b.String()
}

// firstExamples takes the first example of each command in turn, then the
// second ones, until there are n.
func firstExamples(table []*command, n int) []example {
	var out []example
	for round := 0; round < n && len(out) < n; round++ {
		for _, c := range table {
			if round < len(c.examples) && len(out) < n {
				out = append(out, c.examples[round])
			}
		}
	}
	return out
}

func helpOne(c *command, fs *pflag.FlagSet) string {
	var b strings.Builder
	fmt.Fprintf(&b, "limeday %s: %s.\n\n", c.name, c.summary)
	for _, e := range c.examples {
		fmt.Fprintf(&b, "  %s\n      %s\n", e.line, e.says)
	}
	use := strings.TrimSpace(strings.Join([]string{"limeday", c.name, "[flags]", c.args}, " "))
	fmt.Fprintf(&b, "\nUse: %s\n\n", use)
	fs.VisitAll(func(f *pflag.Flag) {
		hint, says := pflag.UnquoteUsage(f)
		left := "--" + f.Name
		if f.Shorthand != "" {
			left = "-" + f.Shorthand + ", " + left
		}
		if hint != "" {
			left += " " + hint
		}
		if len(left) > 24 {
			b.WriteString("  " + left + "\n")
			left = ""
		}
		b.WriteString(wrap(fmt.Sprintf("  %-24s  ", left), says))
	})
	if c.notes != "" {
		b.WriteString("\n" + strings.TrimSpace(c.notes) + "\n")
	}
	return b.String()
}
