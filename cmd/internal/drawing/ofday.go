package drawing

import (
	"limeday/cmd/internal/view"
	"limeday/drying/message"
)

// OfDay is a day as it is drawn: every mark stands where its time is shown.
func OfDay(v view.Day, p view.Printer) Day {
	d := Day{Title: v.Place, Date: v.Asked(), Verdict: p.Text(message.Say("{}{}{}", v.Verdict.Word, v.Verdict.Joint, v.Verdict.Brief)),
		From: v.Hours.From, To: v.Hours.To, KnownTo: v.KnownTo, SunFrom: v.SunFrom, SunTo: v.SunTo, Units: p.Units}
	if d.Title == "" {
		d.Title = "A wall"
	}
	for _, c := range v.Plan {
		if len(c.Past) > 0 {
			continue
		}
		x := Coat{Name: p.Text(c.Name), Lay: c.Lay.Shown(), Says: p.Clock(c.Lay), Edge: c.Edge.Shown(), Band: p.Text(c.Band)}
		for _, s := range c.Then {
			x.Steps = append(x.Steps, Step{What: s.Name, Says: p.Time(s.At), At: s.At.Shown(), Sure: Between(s.Sure)})
		}
		for _, s := range c.States {
			x.States = append(x.States, State{Class: s.Code, End: s.End.Shown()})
		}
		d.Coats = append(d.Coats, x)
	}
	for _, l := range v.Days {
		d.Ahead = append(d.Ahead, Ahead{p.Text(l.Day()), p.Text(l.Says)})
	}
	for _, q := range v.Course {
		d.Course = append(d.Course, Point(q))
	}
	d.Limits = []Limit{{C: v.FaceLow, Above: true, Says: p.Text(message.Say("wall at least {}", message.Celsius(v.FaceLow)))},
		{C: v.FaceHigh, Says: p.Text(message.Say("wall at most {}", message.Celsius(v.FaceHigh)))}}
	return d
}
