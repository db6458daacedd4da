package source

import (
	"regexp"
	"strconv"
	"strings"
)

var digits = regexp.MustCompile(`[0-9]+`)

// sentences begin with a capital and end with a full stop. Those that differ in one count alone, as of the files of
// several years, become one with the sum.
func sentences(notes []string) []string {
	var out []string
	at := map[string]int{} // of sentences with one count, by what is around it
	for _, n := range notes {
		if n == "" {
			continue
		}
		n = strings.ToUpper(n[:1]) + strings.TrimSuffix(n[1:], ".") + "."
		counts := digits.FindAllString(n, -1)
		if len(counts) != 1 {
			out = append(out, n)
			continue
		}
		rest := digits.ReplaceAllString(n, "#")
		i, there := at[rest]
		if !there {
			at[rest] = len(out)
			out = append(out, n)
			continue
		}
		a, err := strconv.Atoi(digits.FindString(out[i]))
		b, also := strconv.Atoi(counts[0])
		if err != nil || also != nil {
			out = append(out, n)
			continue
		}
		out[i] = digits.ReplaceAllString(out[i], strconv.Itoa(a+b))
	}
	return out
}
