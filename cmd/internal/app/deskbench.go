package app

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/page"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/view"
	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/message"
	"limeday/psychro"
)

// benchAsk is what stands on the bench.
type benchAsk struct {
	drying.LadderAsk
	primer string
	last   bool // the coat is closed, not followed by another
	rh     float64
}

// The coats that the bench lays: the first to the third, each as a fill coat or as the last.
const mostCoats = 3

// usualBench is what the bench begins with.
func usualBench() url.Values {
	return url.Values{"units": {"metric"}, "finish": {material.UsualFinish}, "background": {material.UsualBackground}, "primer": {string(material.Fair)}, "coat": {"3"}, "as": {"last"},
		"thickness": {"0.08mm"}, "temp": {"18C"}, "rh": {"55"}, "wall_temp": {""}, "air_speed": {"0.1m/s"}}
}

// benchQuantity is a field of the bench that is typed.
type benchQuantity struct {
	name, label string
	kind        *quantity.Kind
	valid       quantity.Range
	optional    bool
	digits      [2]int // metric, US
	slide       [2]page.Slide
	hint        string
}

func benchQuantities() []benchQuantity {
	return []benchQuantity{
		{name: "thickness", label: "Wet thickness", kind: quantity.Thickness, valid: quantity.CoatThicknesses, digits: [2]int{3, 1}},
		{name: "temp", label: "Air", kind: quantity.Temperature, valid: quantity.AirTemperatures, digits: [2]int{1, 1}, slide: [2]page.Slide{{Min: 5, Max: 35, Step: 0.5}, {Min: 40, Max: 95, Step: 1}}},
		{name: "rh", label: "Humidity", kind: quantity.Humidity, valid: quantity.Humidities, digits: [2]int{0, 0}, slide: [2]page.Slide{{Min: 20, Max: 95, Step: 1}, {Min: 20, Max: 95, Step: 1}}},
		{name: "air_speed", label: "Air along the wall", kind: quantity.Speed, valid: quantity.AirSpeeds, digits: [2]int{2, 1}, slide: [2]page.Slide{{Min: 0, Max: 2, Step: 0.05}, {Min: 0, Max: 5, Step: 0.1}},
			hint: "Still: doors shut, no fan."},
		{name: "wall_temp", label: "Wall", kind: quantity.Temperature, valid: quantity.AirTemperatures, optional: true, digits: [2]int{1, 1}, hint: "Empty: as warm as the air."},
	}
}

// thicknessSlide goes from next to nothing to a little over what the finish stands, in steps that a hand could tell.
func thicknessSlide(f material.Finish, u quantity.Units) page.Slide {
	most := f.Thickest.Value * 1000
	if u == quantity.US {
		most = f.Thickest.Value / 25.4e-6
	}
	step := math.Pow(10, math.Floor(math.Log10(most/20)))
	return page.Slide{Min: step, Max: math.Ceil(1.25*most/step) * step, Step: step}
}

// choice is a field with a few words to choose from.
func choice(name, label string, words []string, says func(string) string) page.Field {
	f := page.Field{Name: name, Label: label}
	for _, w := range words {
		o := page.Option{Value: w, Label: w}
		if says != nil {
			o.Label = says(w)
		}
		f.Options = append(f.Options, o)
	}
	return f
}

// readBench reads the bench's form, and gives it back as fields in the units shown. Where fields are at fault the ask does not count.
func readBench(form url.Values, shown quantity.Units) (a benchAsk, fields []page.Field, ok bool) {
	typed := quantity.Metric
	if u, err := quantity.ParseUnits(form.Get("units")); err == nil {
		typed = u
	}
	ok = true
	var chosen []page.Field // shown after what is typed, which moves most
	one := func(f page.Field, use func(string) error) {
		f.Value = form.Get(f.Name)
		err := errors.New("choose one of them")
		if slices.ContainsFunc(f.Options, func(o page.Option) bool { return o.Value == f.Value }) {
			err = use(f.Value)
		}
		if err != nil {
			f.Fault, ok = err.Error(), false
		}
		chosen = append(chosen, f)
	}
	var err error
	one(choice("finish", "Finish", material.Finishes(), nil), func(v string) error { a.Finish, err = material.FinishNamed(v); return err })
	one(choice("coat", "Coat", []string{"1", "2", "3"}, func(w string) string {
		return map[string]string{"1": "first, on the background", "2": "second, on " + drying.DryCoats(1), "3": "third, on " + drying.DryCoats(2)}[w]
	}), func(v string) error {
		a.Number, err = strconv.Atoi(v)
		return err
	})
	one(choice("as", "It is", []string{"last", "fill"}, func(w string) string {
		return map[string]string{"last": "last, compress and burnish", "fill": "fill, the next follows"}[w]
	}), func(v string) error { a.last = v == "last"; return nil })
	one(choice("background", "Background", material.Backgrounds(), nil), func(string) error { return nil })
	one(choice("primer", "Its primer", primerWords(), nil), func(v string) error { a.primer = v; return nil })
	back := form.Get("background")
	b, err := material.BackgroundNamed(back, material.Primer(a.primer))
	if err == nil && !b.Primed {
		b, err = material.BackgroundNamed(back, "")
	}
	if err == nil {
		a.Spots = []material.Background{b}
	}
	values := map[string]float64{}
	for _, q := range benchQuantities() {
		slide := q.slide[shown]
		text := form.Get(q.name)
		if f := a.Finish; q.name == "thickness" && f.Name != "" {
			slide = thicknessSlide(f, shown)
			if !form.Has(q.name) { // the usual one of the finish
				text = fmt.Sprintf("%gmm", millimetres(f.Coats[min(max(a.Number, 1), mostCoats)-1].Value))
			}
		}
		f := page.Field{Name: q.name, Label: q.label, Value: text, Unit: q.kind.Unit(shown), Hint: q.hint, Numeric: true}
		if slide.Max > 0 {
			f.Slide = &slide
		}
		if text != "" || !q.optional {
			v, err := quantity.Parse(q.kind, text, typed, q.valid)
			if err == nil && q.name == "thickness" && a.Finish.Name != "" {
				err = intake.CheckCoat(a.Finish, v, shown)
			}
			if err != nil {
				f.Fault, ok = err.Error(), false
			} else {
				values[q.name] = v
				f.Value = trimmed(quantity.Format(q.kind, v, shown, q.digits[shown]))
			}
		}
		fields = append(fields, f)
	}
	fields = append(fields, chosen...)
	if !ok {
		return a, fields, false
	}
	a.rh = values["rh"]
	if a.Air, err = psychro.NewAir(psychro.Celsius(values["temp"]), psychro.Fraction(a.rh/100), psychro.StandardPressure(0)); err != nil {
		for i := range fields {
			if fields[i].Name == "temp" {
				fields[i].Fault, ok = err.Error(), false
			}
		}
		return a, fields, ok
	}
	if t, given := values["wall_temp"]; given {
		a.WallTemp = &t
	}
	a.AirSpeed, a.WallHeight, a.Thicknesses = values["air_speed"], drying.DefaultWallHeight, []float64{values["thickness"]}
	return a, fields, true
}

// trimmed is a quantity's number alone, without closing zeros.
func trimmed(s string) string {
	s, _, _ = strings.Cut(s, " ")
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// Bench implements page.Desk.
func (d *desk) Bench(ctx context.Context, form url.Values, u quantity.Units, bands bool) page.Bench {
	was := form.Get("was")
	if form.Get("finish") == "" {
		if !form.Has("units") {
			form.Set("units", u.String())
		}
		for k, v := range usualBench() {
			if !form.Has(k) {
				form[k] = v
			}
		}
	}
	ask, fields, ok := readBench(form, u)
	out := page.Bench{Fields: fields, Was: was}
	if !ok {
		out.Fault = "Something on the bench cannot be: see the field marked. Nothing else was changed."
		return out
	}
	var before *benchAsk
	if old, err := url.ParseQuery(was); err == nil && was != "" && len(was) < 2<<10 {
		if a, _, ok := readBench(old, u); ok {
			before = &a
		}
	}
	now, err := d.follow(ctx, ask)
	if err != nil {
		out.Fault = pageSentence(err)
		return out
	}
	var then *drying.Trace
	if before != nil {
		c, err := d.follow(ctx, *before)
		if err == nil {
			then = &c
		}
	}
	if bands {
		if err := d.band(ctx, &ask.LadderAsk, &now); err != nil {
			out.Fault = pageSentence(err)
			return out
		}
		out.Banded = true
	}
	if err := frozen(now.Rung, u); err != nil {
		out.Fault = pageSentence(err)
		return out
	}
	out.Says = benchSays(ask, now.Rung)
	picture := dryingPicture(ask.LadderAsk, now, ask.last, u)
	if then != nil {
		p := dryingPicture(before.LadderAsk, *then, before.last, u)
		picture.Before = &p
		out.Moved = moved(*before, ask, *then, now, u)
	}
	out.Picture = drawing.DryingInline(picture)
	out.Tables = append(out.Tables, dryingTables(picture)...)
	for _, n := range drying.CoatNotes(ask.Finish, now.Rung) {
		out.Notes = append(out.Notes, view.Printer{Units: u}.Text(n.Says()))
	}
	out.Notes = append(out.Notes, "The sign on the wall rules over the clock. Not known: "+drying.Unknowns()+".")
	keep := url.Values{"units": {u.String()}}
	for _, f := range fields {
		keep.Set(f.Name, f.Value)
	}
	out.Was = keep.Encode()
	return out
}

// follow runs one coat when its turn has come.
func (d *desk) follow(ctx context.Context, a benchAsk) (drying.Trace, error) {
	select {
	case d.drawings <- struct{}{}:
	case <-ctx.Done():
		return drying.Trace{}, ctx.Err()
	}
	defer func() { <-d.drawings }()
	return drying.Follow(a.LadderAsk, a.Thicknesses[0])
}

// band works the bands of a coat out when their turn has come.
func (d *desk) band(ctx context.Context, a *drying.LadderAsk, c *drying.Trace) error {
	select {
	case d.bands <- struct{}{}:
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { <-d.bands }()
	rungs := []drying.Rung{c.Rung}
	err := a.Band(rungs, drying.Bands{Members: d.inv.Members, Seed: uint64(d.seed), Stop: ctx.Err})
	c.Rung = rungs[0]
	return err
}

// benchSays is the answer in a sentence.
func benchSays(a benchAsk, r drying.Rung) string {
	finely := r.Closes-r.Burnish < 600
	if !a.last {
		return fmt.Sprintf("Edge good for %s; the next coat can follow %s.", view.AfterLaying(r.Edge, message.Ends, finely), view.Later(r.Next, finely))
	}
	return fmt.Sprintf("Compress %s, burnish %s; gone by %s after laying.", view.Later(r.Opens, finely), view.Later(r.Burnish, finely), view.AfterLaying(r.Closes, message.Ends, finely))
}

// moved says what is otherwise than before, and what in the physics moved it: how fast the face gives water to the air, what the
// wall has drawn, and how far it is above the dew point.
func moved(was, is benchAsk, then, now drying.Trace, u quantity.Units) []string {
	var out []string
	printer := view.Printer{Units: u}
	say := func(form string, args ...any) { out = append(out, printer.Text(message.Say(form, args...))) }
	for _, t := range []struct {
		name     string
		then, is float64
		begins   bool
		of       bool
	}{
		{"Opens", then.Opens, now.Opens, true, is.last}, {"Gone by", then.Closes, now.Closes, false, is.last},
		{"Next coat", then.Next, now.Next, true, !is.last},
	} {
		to, from := view.Came(t.is, edgeOf(t.begins), true), view.Came(t.then, edgeOf(t.begins), true)
		if t.of && drying.Differ(t.then, t.is) && to != from {
			say("{} {} after laying, before {}.", t.name, to, from)
		}
	}
	if len(out) == 0 {
		return []string{"Nothing that counts has moved."}
	}
	if a, b := then.Evaporation*3600, now.Evaporation*3600; drying.Differ(a, b) {
		s := message.Say("The air takes {} from the wet face in an hour, before {}", message.OnArea(b), message.OnArea(a))
		if p, q := float64(was.Air.VapourPressureDeficit()), float64(is.Air.VapourPressureDeficit()); drying.Differ(p, q) {
			s = message.Say("{}: its pull, the vapour-pressure deficit, is {}, before {}", s, message.Pascals(q), message.Pascals(p))
		} else if drying.Differ(was.AirSpeed, is.AirSpeed) {
			s = message.Say("{}: it moves faster or slower along the wall, and carries more or less away", s)
		}
		say("{}.", s)
	}
	if a, b := drawn(then), drawn(now); math.Abs(a-b) > drying.Telling {
		say("The wall behind has drawn {} of the water that had gone by the time it opens, before {}.", message.Parts(b), message.Parts(a))
	}
	if is.Thicknesses[0] != was.Thicknesses[0] {
		say("Water went on with the coat: {}, before {}.", message.OnArea(laidWater(now)), message.OnArea(laidWater(then)))
	}
	if a, b := above(was), above(is); math.Abs(a-b) > 0.2 {
		say("The wall is {} above the dew point, before {}.", message.Kelvins(b), message.Kelvins(a))
	}
	return out
}

// drawn is the wall's part in the water that has left a coat when it opens, NaN where none has.
func drawn(c drying.Trace) float64 {
	at := c.Points[0]
	for _, p := range c.Points {
		at = p
		if p.After >= c.Opens {
			break
		}
	}
	return min(max(at.Drawn/(at.Drawn+at.Gone), 0), 1)
}

// laidWater is what was laid with a coat, kg/m2.
func laidWater(c drying.Trace) float64 { return c.Spread * c.Fresh / (1 + c.Fresh) }

// above is how far the wall is above the dew point, K.
func above(a benchAsk) float64 {
	t := float64(a.Air.Temperature())
	if a.WallTemp != nil {
		t = *a.WallTemp
	}
	return t - float64(a.Air.DewPoint())
}
