package crew

import (
	"testing"
	"time"

	"limeday/drying"
)

// Sun that reaches the wall at 11:20 shortens the windows of what is laid then, and of that alone: each patch has its own air. The
// plan is made with it: what is laid under the sun is closed sooner after laying than it would have gone by.
func TestPlanSeesTheSun(t *testing.T) {
	window := func(sun bool) map[string]time.Duration {
		a := hall(t, 0.2e-3)
		a.Sites[0].Wall = Wall{Width: 16, Height: 2.5}
		a.Crew.Hands = hands(3)
		a.Crew.Breaks = nil
		a.Crew.Strip = 0.4
		if sun {
			a.Sites[0].Job.Room.Sun = drying.SunHours{From: 11*time.Hour + 20*time.Minute, To: 14 * time.Hour}
		}
		p, err := New(a)
		if err != nil {
			t.Fatal(err)
		}
		laid := map[int]time.Time{}
		out := map[string]time.Duration{}
		for _, s := range p.Sections {
			for _, x := range s.Tasks {
				if x.Op == Lay {
					laid[x.Patch] = x.Start
				}
			}
			for _, x := range s.Tasks {
				if x.Op != Compress {
					continue
				}
				at := laid[x.Patch]
				switch hour := at.Format("15"); hour {
				case "08", "12":
					out[hour] = x.Closes.Sub(at)
				}
			}
		}
		return out
	}
	shade, sun := window(false), window(true)
	if shade["08"] == 0 || sun["08"] == 0 || sun["12"] == 0 {
		t.Fatalf("nothing laid at eight or at twelve: %v, %v", shade, sun)
	}
	// A tenth: the sun of the days before has warmed the wall through.
	if d := (sun["08"] - shade["08"]).Abs(); d > shade["08"]/10 {
		t.Errorf("laid at eight it is gone by %v after laying, without sun later %v", sun["08"], shade["08"])
	}
	if sun["12"] > shade["12"]*8/10 {
		t.Errorf("laid at twelve in the sun it is gone by %v after laying, in the shade %v", sun["12"], shade["12"])
	}
}
