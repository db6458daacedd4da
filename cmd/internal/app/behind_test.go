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
