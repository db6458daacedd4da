package intake_test

import (
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/view"
	"limeday/drying"
	"limeday/drying/exposure"
)

const (
	coats = "[[layer]]\nbackground = \"primed-board\"\n[[coat]]\nfinish = \"polished-lime\"\nthickness = \"0.2mm\"\n"
	yard  = "[place]\nlat = 53.3\nlon = -6.2\nzone = \"Europe/Dublin\"\n" +
		"[[wall]]\nname = \"gable\"\nbearing = \"SW\"\nbehind = \"room\"\nheight = \"3m\"\nwidth = \"4m\"\n[[wall]]\nbearing = 90\nshelter = 0.3\ncover = \"tented\"\nbehind = \"cavity\"\nbehind_temp = \"15C\"\nheight = \"2m\"\n" +
		"[[layer]]\nbackground = \"brick\"\ndamped = true\n[[coat]]\nfinish = \"nhl-render\"\nthickness = \"8mm\"\n[[laid]]\nname = \"gable\"\nfinish = \"nhl-render\"\non = \"2026-04-11\"\n"
	room = "[place]\naltitude = \"320m\"\n[room]\nvent = \"1.5m/s\"\nsun = \"10:00-12:00\"\nheating = \"15C\"\nmoisture_class = 2\nvolume = \"60m3\"\n" +
		"[[wall]]\nheight = \"2.5m\"\nwidth = \"4m\"\nbearing = \"N\"\n[[wall.opening]]\nleft = \"1m\"\nsill = \"0m\"\nwidth = \"1m\"\nheight = \"2m\"\n[[wall]]\nheight = \"3m\"\nwidth = \"2m\"\n" +
		"[finish.mine]\nlike = \"polished-lime\"\nmu = 12\n[[layer]]\nbackground = \"brick\"\n[[layer]]\nbackground = \"gypsum-board\"\n[[coat]]\nfinish = \"mine\"\nspread = \"0.3kg/m2\"\ntint = \"ochre\"\ngreen = true\n" +
		"[[coat]]\nfinish = \"polished-lime\"\nthickness = \"0.08mm\"\n[hours]\nfrom = \"07:00\"\nto = \"15:30\"\n[limits]\nmin_wall = \"8C\"\nmax_rh = 80\n[suction]\ndrop_test = [\"20s\", \"40s\"]\ntube = \"1.5ml/10min\"\n[crew]\npeople = 2\n"
)

func in() *intake.Intake {
	return &intake.Intake{Now: func() time.Time { return time.Date(2026, 4, 14, 6, 30, 0, 0, time.UTC) }}
}

func read(t *testing.T, text string, g intake.Given) intake.Site {
	t.Helper()
	j, err := job.Parse("a.toml", []byte(text), intake.Names())
	if err != nil {
		t.Fatal(err)
	}
	s, err := in().Site(j, g)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func says(s intake.Site, u quantity.Units) string {
	var out []string
	for _, t := range s.Assumed {
		out = append(out, view.Printer{Units: u}.Text(t))
	}
	return strings.Join(out, "; ")
}

// What stands in a job's file comes to be worked out, each value where it belongs.
func TestRoomJob(t *testing.T) {
	s := read(t, room, intake.Given{})
	d, r := s.Job, s.Job.Room
	for what, ok := range map[string]bool{
		"one job":    len(s.Walls) == 1 && s.Walls[0].Outdoors == nil,
		"altitude":   d.Place.Altitude == 320 && r.Pressure == 0 && d.Pressure() < 98000 && d.Pressure() > 97000,
		"air":        r.AirSpeed == drying.DefaultAirSpeed && r.Vent == 1.5,
		"sun":        r.Sun == drying.SunHours{From: 10 * time.Hour, To: 12 * time.Hour},
		"room":       *r.Heating == 15 && r.Moisture == 2 && r.Volume == 60 && r.AirChanges == drying.DefaultAirChanges && r.Hands == 2,
		"walls":      r.WallHeight == 2.5 && r.WetArea == 10-2+6,
		"zone":       d.Zone == time.UTC,
		"hours":      reflect.DeepEqual(d.Hours, drying.Hours{From: 7 * time.Hour, To: 15*time.Hour + 30*time.Minute}),
		"suction":    slices.Equal(d.Suction.Drops, []float64{20, 40}) && d.Suction.Tubes[0] == drying.Tube{Millilitres: 1.5, Seconds: 600},
		"background": d.Background.Name == "gypsum-board" && len(d.Background.Layers) == 3 && !d.Damped,
		"coats":      len(d.Coats) == 2 && d.Coats[0].Tint == "ochre" && d.Coats[0].Green && d.Coats[1].Thickness == 0.08e-3,
		"own finish": d.Coats[0].Finish.Name == "mine" && d.Coats[0].Finish.Mu.Value == 12 && d.Coats[0].Thickness == d.Coats[0].Finish.Thickness(0.3),
		"limits":     *d.Limits.MinWall == 8 && *d.Limits.MaxRH == 0.8 && d.Limits.MaxWall == nil,
	} {
		if !ok {
			t.Errorf("%s: %+v", what, d)
		}
	}
	const metric = "pressure 975 hPa, estimated from 320 m; air along the wall at 0.1 m/s; all 2 walls as high as the first; bearing, shelter and cover of the walls not used, as the job has [room]; this computer's time zone; the sun through the glass at a usual strength; 0.5 air changes an hour"
	if got := says(s, quantity.Metric); got != metric {
		t.Errorf("assumed %s", got)
	}
	if got := says(s, quantity.US); !strings.HasPrefix(got, "pressure 28.80 inHg, estimated from 1050 ft; air along the wall at 0.2 mph; ") {
		t.Errorf("assumed %s", got)
	}
}

// Working days, waits, a wet bed and what is behind a room's wall come to be worked out.
func TestDaysOfJob(t *testing.T) {
	const day = 24 * time.Hour
	days := "[place]\nzone = \"America/Denver\"\n[room]\n[[wall]]\nheight = 2\n[[wall]]\nbehind = \"cavity\"\nbehind_temp = 4\n[[wall]]\nbehind = \"cavity\"\nbehind_temp = 4\n" +
		"[hours]\nfrom = \"08:00\"\nto = \"17:00\"\ndays = \"Mon-Fri\"\noff = [\"2026-12-24\"]\n" +
		"[[layer]]\nbackground = \"old-lime\"\nwet = 2026-12-20\n[[coat]]\nfinish = \"polished-lime\"\nthickness = 0.2\nwait = \"3-10 d\"\nmist = false\n[[coat]]\nfinish = \"polished-lime\"\nthickness = 0.1\n"
	s := read(t, days, intake.Given{})
	d := s.Job
	noon := func(date string) time.Time {
		when, err := time.ParseInLocation("2006-01-02 15", date+" 12", d.Zone)
		if err != nil {
			t.Fatal(err)
		}
		return when
	}
	for what, ok := range map[string]bool{
		"Monday":   d.Hours.Works(noon("2026-12-21")) && d.Hours.Works(noon("2026-12-23")),
		"Saturday": !d.Hours.Works(noon("2026-12-26")),
		"off":      !d.Hours.Works(noon("2026-12-24")) && d.Hours.Works(noon("2026-12-25")),
		"behind":   d.Behind.Kind == exposure.Cavity && *d.Behind.Temp == 4 && !strings.Contains(says(s, quantity.Metric), "behind"),
		"bed":      d.Wet == drying.BedDry && d.BaseLaid.Format(time.RFC3339) == "2026-12-20T00:00:00-07:00",
		"coats":    *d.Coats[0].Wait == drying.Wait{Least: 3 * day, Careful: 10 * day} && d.Coats[0].NoMist && d.Coats[1].Wait == nil && !d.Coats[1].NoMist,
	} {
		if !ok {
			t.Errorf("%s: %+v", what, d)
		}
	}
	if s := read(t, strings.Replace(days, "2026-12-20", "\"damp\"", 1), intake.Given{}); s.Job.Wet != drying.BedDamp || !s.Job.BaseLaid.IsZero() {
		t.Errorf("%+v", s.Job)
	}
	if s := read(t, room, intake.Given{}); s.Job.Behind.Kind != exposure.NotSaid {
		t.Errorf("%+v", s.Job.Behind)
	}
}

// Walls outdoors are each a job of its own; a wall already laid is the one of its name.
func TestOutdoorJobs(t *testing.T) {
	s := read(t, yard, intake.Given{})
	if len(s.Walls) != 2 {
		t.Fatalf("%d walls", len(s.Walls))
	}
	a, b := s.Walls[0], s.Walls[1]
	for what, ok := range map[string]bool{
		"gable":   a.Outdoors.Name == "gable" && a.Outdoors.Bearing == 225 && a.Outdoors.Shelter == drying.UsualShelter && a.Outdoors.Cover == exposure.Open,
		"behind":  *a.Outdoors.Behind == drying.DefaultBehind && !a.Outdoors.Cavity && *b.Outdoors.Behind == 15 && b.Outdoors.Cavity,
		"other":   b.Outdoors.Name == "wall 2" && b.Outdoors.Bearing == 90 && b.Outdoors.Shelter == 0.3 && b.Outdoors.Cover == exposure.Tented,
		"size":    a.Room.WetArea == 12 && a.Room.WallHeight == 3 && b.Room.WetArea == 0 && b.Room.WallHeight == 2,
		"place":   a.Place.Lat == 53.3 && a.Place.Lon == -6.2 && a.Zone.String() == "Europe/Dublin" && reflect.DeepEqual(a.Hours, drying.UsualHours()),
		"damped":  a.Damped && a.Coats[0].Finish.Name == "nhl-render",
		"laid":    a.Laid[0].Outdoors == a.Outdoors && b.Laid[0].Outdoors == a.Outdoors && a.Laid[0].On.Format(time.DateOnly) == "2026-04-11",
		"the job": s.Job.Outdoors == nil && s.Job.Laid[0].Outdoors == nil,
	} {
		if !ok {
			t.Errorf("%s: %+v, %+v", what, a, b)
		}
	}
	if got := says(s, quantity.US); got != "pressure 29.92 inHg, at sea level; the room behind the wall at 68 F; hours 08:00 to 17:00; 50 % of the open wind at the wall" {
		t.Errorf("assumed %s", got)
	}
}

// What is given goes before the job's file, and is not called assumed; the pressure of an altitude is.
func TestGiven(t *testing.T) {
	speed, pressure, high := 0.4, 99000.0, 900.0
	s := read(t, room, intake.Given{AirSpeed: &speed, Pressure: &pressure, People: 5})
	if r := s.Job.Room; r.AirSpeed != 0.4 || r.Pressure != 99000 || r.Hands != 5 || s.File.People != 5 || s.File.Crew.People != 5 || strings.Contains(says(s, quantity.Metric), "pressure") || strings.Contains(says(s, quantity.Metric), "air along") {
		t.Errorf("%+v; %s", r, says(s, quantity.Metric))
	}
	s = read(t, room, intake.Given{Altitude: &high})
	if got := says(s, quantity.Metric); !strings.HasPrefix(got, "pressure 910 hPa, estimated: the standard atmosphere at 900 m; ") {
		t.Error(got)
	}
}

// A job that cannot be worked out is refused with its line, and nothing of it stands.
func TestSiteRefuses(t *testing.T) {
	for want, text := range map[string]string{
		"do not say where":   strings.Replace(yard, "lat = 53.3\n", "", 1),
		"needs its bearing":  strings.Replace(yard, "bearing = \"SW\"\n", "", 1),
		"no [[wall]] says":   "[place]\nlat = 1\nlon = 1\n" + coats,
		"worked out as one":  "[room]\n[[wall]]\nbehind = \"solid\"\n[[wall]]\nbehind = \"room\"\n" + coats,
		"is not damped down": "[room]\n" + strings.Replace(coats, "board\"", "board\"\ndamped = true", 1),
		"has none; leave it": "[room]\n" + strings.Replace(coats, "primed-board\"", "brick\"\nprimer = \"fair\"", 1),
		"is no coat":         "[room]\n" + strings.Replace(coats, "0.2mm", "59mm", 1),
		"finish mine: mu":    "[room]\n[finish.mine]\nlike = \"polished-lime\"\nmu = -3\n" + coats,
	} {
		j, err := job.Parse("a.toml", []byte(text), intake.Names())
		if err != nil {
			t.Fatal(err)
		}
		s, err := in().Site(j, intake.Given{})
		var faults fault.List
		if !errors.As(err, &faults) || !strings.Contains(err.Error(), want) || s.File != nil {
			t.Errorf("%s: %v", want, err)
		}
	}
	j, err := job.Parse("a.toml", []byte("[room]\n"+coats+"[timing]\nfile = \"none.toml\"\n"), intake.Names())
	if err != nil {
		t.Fatal(err)
	}
	if s, err := in().Site(j, intake.Given{}); err == nil || s.File == nil || len(s.Job.Coats) != 1 {
		t.Errorf("a timing that is not there: %v, %+v", err, s)
	}
	if s, err := in().Site(j, intake.Given{Untimed: true}); err != nil || len(s.Walls) != 1 {
		t.Errorf("without its timing: %v", err)
	}
}
