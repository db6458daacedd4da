package app

import (
	"os/exec"
	"path/filepath"
	"testing"
)

// BenchmarkTodayProcess is the built-in example, indoors and outdoors, with its bands of 200 members, by the program itself: from its
// start to its end, nothing kept from one run to the next.
func BenchmarkTodayProcess(b *testing.B) {
	binary := filepath.Join(b.TempDir(), "limeday")
	if out, err := exec.CommandContext(b.Context(), "go", "build", "-o", binary, "limeday/cmd/limeday").CombinedOutput(); err != nil {
		b.Fatalf("%v: %s", err, out)
	}
	for _, name := range []string{"hall", "gable"} {
		b.Run(name, func(b *testing.B) {
			user := 0.0
			for b.Loop() {
				cmd := exec.CommandContext(b.Context(), binary, "today", "--example", name, "--json")
				cmd.Env = append(cmd.Environ(), "XDG_CACHE_HOME="+b.TempDir())
				if out, err := cmd.Output(); err != nil || len(out) == 0 {
					b.Fatal(err)
				}
				user += cmd.ProcessState.UserTime().Seconds() + cmd.ProcessState.SystemTime().Seconds()
			}
			b.ReportMetric(1e3*user/float64(b.N), "cpu-ms/op")
		})
	}
}
