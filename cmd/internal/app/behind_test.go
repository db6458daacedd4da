package app

import (
	"strings"
	"testing"
	"time"

	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	"limeday/drying/exposure"
)

// What is behind a wall outdoors, and a tent, come through to what is computed; a temperature not given is said.
func TestBehindWall(t *testing.T) {
	text := strings.Replace(gableJob, "name = \"gable\"\n", "name = \"gable\"\nbehind = \"room\"\ncover = \"tented\"\n", 1)
	text = strings.Replace(text, "name = \"porch side\"\n", "name = \"porch side\"\nbehind = \"room\"\nbehind_temp = \"15C\"\n", 1)
	text = strings.Replace(text, "[[layer]]\n", "[[wall]]\nbearing = \"W\"\nbehind = \"cavity\"\n[[layer]]\n", 1)
	j, err := job.Parse("gable.toml", []byte(text), intake.Names())
	if err != nil {
		t.Fatal(err)
	}
	in := intake.Intake{Now: func() time.Time { return time.Unix(0, 0).UTC() }}
	s, err := in.Site(j, intake.Given{})
	if err != nil {
		t.Fatal(err)
	}
	assumed, walls := assumedText(s.Assumed, quantity.US), s.Walls
	if !strings.Contains(strings.Join(assumed, "; "), "the room behind the wall at 68 F") {
		t.Errorf("assumed %q", assumed)
	}
	if b := walls[0].Outdoors.Behind; b == nil || *b != 20 || walls[0].Outdoors.Cover != exposure.Tented {
		t.Errorf("gable: %v, %s", b, walls[0].Outdoors.Cover)
	}
	if o := walls[2].Outdoors; o.Behind == nil || *o.Behind != 20 || !o.Cavity {
		t.Errorf("cavity: %+v", o)
	}
	if b := walls[1].Outdoors.Behind; b == nil || *b != 15 {
		t.Errorf("porch side: %v", b)
	}
}

// What a job says of days, waits and the bed is told when it is checked.
func TestJobCheckTellsDays(t *testing.T) {
	text := "[room]\n[[wall]]\nbehind = \"cavity\"\nbehind_temp = 4\n[hours]\nfrom = \"08:00\"\nto = \"17:00\"\ndays = \"Mon-Fri\"\noff = [\"2026-12-24\"]\n" +
		"[[layer]]\nbackground = \"old-lime\"\nwet = 2026-12-20\n[[coat]]\nfinish = \"nhl-render\"\nthickness = 8\nwait = \"16h-10 d\"\nmist = false\n"
	code, out, errs := runAt(text, "job", "check", "-")
	if code != ExitOK {
		t.Fatal(errs)
	}
	for _, says := range []string{"old lime plaster on brick, laid 2026-12-20\n", "Behind   cavity at 4 C\n", ", left 16 h to 10 d, not misted before\n", "No work  Sun, Sat, 2026-12-24\n"} {
		if !strings.Contains(apart(out), says) {
			t.Errorf("nothing of %q in\n%s", says, out)
		}
	}
	_, out, _ = runAt(strings.Replace(text, "2026-12-20", "\"damp\"", 1), "job", "check", "-", "--json")
	for _, says := range []string{`"wet": "damp"`, `"behind": "cavity"`, `"behind_temp_c": 4`, `"wait_h": 16`, `"wait_careful_h": 240`, `"no_mist": true`, `"days_free": [`, `"2026-12-24"`} {
		if !strings.Contains(out, says) {
			t.Errorf("nothing of %s in\n%s", says, out)
		}
	}
}
