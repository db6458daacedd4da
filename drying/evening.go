package drying

import (
	"fmt"
	"strings"
	"time"

	"limeday/drying/coat"
	"limeday/drying/exposure"
	"limeday/drying/message"
	"limeday/weather"
)

// farAsk is how many days after that of asking a day can be asked about.
const farAsk = 7

// DayError says why a day cannot be asked about.
type DayError struct {
	At, Day time.Time // the moment of asking, and the midnight of the day
	Known   time.Time // where the air is known too short, to when; else zero
}

func (e *DayError) Error() string {
	day := e.Day.Format("Mon " + time.DateOnly)
	switch {
	case !e.Known.IsZero():
		return fmt.Sprintf("the air is known to %s, not to the work of %s", e.Known.Format(minute), day)
	case e.Day.Before(e.At):
		return fmt.Sprintf("%s is before the day of asking, %s", day, e.At.Format("Mon "+time.DateOnly))
	}
	return fmt.Sprintf("%s is over %d days after the day of asking, %s", day, farAsk, e.At.Format("Mon "+time.DateOnly))
}

// asked is the midnight of the day that is asked about in readings, at least one. The error is a *DayError.
func (j Job) asked(ask Ask, readings weather.Series) (time.Time, error) {
	at := ask.At.In(j.Zone)
	today, next := midnight(at, 0), j.Hours.Next(at)
	laid := 0
	for _, s := range ask.Seen {
		if s.What == SeenLaid {
			laid = max(laid, s.Coat)
		}
	}
	if laid >= len(j.Coats) {
		return today, nil // there is only the last coat to be closed in, and the wall to be tended
	}
	end := readings.Records[len(readings.Records)-1]
	known := func(day time.Time) bool {
		from, _ := j.Hours.On(day)
		kept := j.Outdoors == nil && end.Temperature.Tag == weather.Measured && !day.After(next) // one day of work may stand in air that stays
		return !end.Time.Before(from) || kept
	}
	if ask.For.IsZero() {
		if _, to := j.Hours.On(at); at.Before(to) || next.IsZero() || next.After(midnight(at, farAsk)) || !known(next) {
			return today, nil
		}
		return next, nil
	}
	day := midnight(ask.For.In(j.Zone), 0)
	switch {
	case day.Before(today), day.After(midnight(at, farAsk)):
		return day, &DayError{At: at, Day: day}
	case day.After(today) && !known(day):
		return day, &DayError{At: at, Day: day, Known: end.Time.In(j.Zone)}
	}
	return day, nil
}

// begins is when the work of the day asked about can begin: at the moment of asking, or with the hours of a later day.
func (j Job) begins(ask Ask) time.Time {
	if day := ask.For.In(j.Zone); day.After(ask.At) {
		from, _ := j.Hours.On(day)
		return from
	}
	return ask.At
}

// Ahead reports whether the day asked about is after that of asking.
func (a *Answer) Ahead() bool { return a.Day.After(a.At) }

// Asked reports whether a coat is to be laid on the day asked about.
func (a *Answer) Asked(c CoatPlan) bool {
	return !c.Done && c.Number > a.due[0] && c.Number <= a.due[1]
}

// dueThen is what is said of the coats of the day asked about.
func (a *Answer) dueThen() Due {
	switch {
	case !a.Ahead():
		return DueToday
	case a.Verdict == Go:
		return Likely
	}
	return Doubtful
}

// DayWord is the day asked about in a word: today, tomorrow, or its weekday.
func (a *Answer) DayWord() string {
	switch {
	case !a.Ahead():
		return "today"
	case a.Day.Equal(midnight(a.At, 1)):
		return "tomorrow"
	}
	return a.Day.Format("Monday")
}

// upper begins a sentence.
func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// Eve is the evening before the day asked about: the end of that day's hours, or the moment of asking where that is later.
func (a *Answer) Eve() time.Time {
	_, to := a.Job.Hours.On(midnight(a.Day, -1))
	if to.Before(a.At) {
		return RoundUp(a.At, 5*time.Minute)
	}
	return to
}

// Deed is something to be done before the coats of a later day.
type Deed struct {
	Code DeedCode
	Says message.Text
	At   time.Time  // zero: the evening before
	In   ChangeCode // the change that it is, of those worked out; empty for none
}

// DeedCode names a kind of deed.
type DeedCode string

// The kinds, in the order they are told.
const (
	DeedHeat      DeedCode = "heat"
	DeedDamp      DeedCode = "damp"
	DeedSheeting  DeedCode = "sheeting"
	DeedHands     DeedCode = "hands"
	DeedBatch     DeedCode = "batch"
	DeedNet       DeedCode = "net"
	DeedDampAgain DeedCode = "damp-again"
)

// DeedCodes lists them.
func DeedCodes() []DeedCode {
	return []DeedCode{DeedHeat, DeedDamp, DeedSheeting, DeedHands, DeedBatch, DeedNet, DeedDampAgain}
}

// What a room is heated to before polish, C, and for how long (common practice, no source: 24 to 48 h).
const (
	heatLow    = 15.0
	heatHigh   = 18.0
	heatBefore = 24 * time.Hour
)

// netBefore is how long before the sun a net is hung (judgement, no source).
const netBefore = 30 * time.Minute

// Deeds are what is to be done before the coats of a later day, as its plan stands; none of the day of asking.
func (a *Answer) Deeds() []Deed {
	if !a.Ahead() {
		return nil
	}
	var out []Deed
	add := func(c DeedCode, in ChangeCode, says message.Text, at time.Time) {
		out = append(out, Deed{Code: c, Says: says, At: at, In: in})
	}
	var evening, lay time.Time
	lays := a.Verdict != NoGo && a.due[1] > a.due[0]
	if lays {
		lay = a.Coats[a.due[0]].Lay
	}
	if effect := a.helps(ChangeHeat); effect != nil {
		add(DeedHeat, ChangeHeat, a.short(message.Say("Would help: the room at {} overnight, vented, not at the wall ({}).", message.Celsius(HeatedRoom), effect)), evening)
	} else if says := a.heat(lays); says != nil {
		add(DeedHeat, ChangeHeat, says, evening)
	}
	bare := lays && a.due[0] == 0
	if effect := a.helps(ChangeDamp); effect != nil {
		add(DeedDamp, ChangeDamp, message.Say("Would help: damp the masonry, and again before the first coat ({}).", effect), evening)
	} else if bare && a.Job.Damped {
		add(DeedDamp, ChangeDamp, message.Words("Damp the masonry."), evening)
	}
	o := a.Job.Outdoors
	if lays && o != nil && (o.Cover == exposure.Sheeted || o.Cover == exposure.Tented || a.has(CodeRain, CodeFrost, CodeWind)) {
		says := "Put the sheeting up, rolled back, so that it is let down at once."
		if o.Cover == exposure.Sheeted || o.Cover == exposure.Tented {
			says = "Hang the sheeting: it stands before the first coat."
		}
		add(DeedSheeting, ChangeSheet, message.Words(says), evening)
	}
	if n := a.Job.Room.Hands; lays && n > 1 {
		add(DeedHands, "", message.Say("Order {} pairs of hands for {}.", message.Number(n), message.At(lay)), evening)
	}
	if lays {
		if says := a.batch(); says != nil {
			add(DeedBatch, "", says, evening)
		}
		if at, says := a.net(lay); says != nil {
			add(DeedNet, ChangeShade, says, at)
		}
	}
	if bare && a.Job.Damped {
		again := RoundDown(lay.Add(-time.Duration(coat.DampingAgain*float64(time.Second))), 5*time.Minute)
		add(DeedDampAgain, "", message.Say("At {} damp it again; lay when the shine is gone.", message.At(again)), again)
	}
	return out
}

// helps is the effect of a change where it helps and is for the day before; nil where not.
func (a *Answer) helps(code ChangeCode) message.Text {
	for _, c := range a.Changes {
		if c.Code == code && c.Tomorrow && c.Helps {
			return c.Effect
		}
	}
	return nil
}

// heat is what is said of heating a room that is heated.
func (a *Answer) heat(lays bool) message.Text {
	r := a.Job.Room
	if a.Job.Outdoors != nil || r.Heating == nil || !lays && !a.has(CodeWallCold, CodeDewPoint, CodeFreezes) {
		return nil
	}
	says := message.Say("Room at {} to {} overnight, vented, not at the wall.", message.Celsius(heatLow), message.Celsius(heatHigh))
	if t := *r.Heating; t >= heatLow && t <= heatHigh {
		says = message.Say("Keep the room at {} overnight, vented, not at the wall.", message.Celsius(t))
	}
	return a.short(says)
}

// short adds to what is said of heating that it comes late, where the wall is cold.
func (a *Answer) short(says message.Text) message.Text {
	if left := a.Start.Sub(a.At); min(a.WallTemp, float64(a.Now.Temperature())) < heatLow && left < heatBefore {
		return message.Say("{} 24 to 48 h before are usual; {} h are left.", says, message.Number(int(left.Hours())))
	}
	return says
}

// batch is how much is wanted for the coats of the day, by finish; nil where the wall's area is not known.
func (a *Answer) batch() message.Text {
	area := a.Job.Room.WetArea
	if area <= 0 {
		return nil
	}
	var names []string
	mass, volume := map[string]float64{}, map[string]float64{}
	for _, c := range a.Coats[a.due[0]:a.due[1]] {
		f := c.Coat.Finish
		if mass[f.Name] == 0 {
			names = append(names, f.Name)
		}
		mass[f.Name] += f.Spread(c.Coat.Thickness) * area
		volume[f.Name] += c.Coat.Thickness * area
	}
	var says []message.Text
	for _, n := range names {
		says = append(says, message.Say("{} ({}) of {}", message.Kilos(mass[n]), message.Litres(volume[n]*1000), n))
	}
	return message.Say("Have ready {}, waste not counted.", message.Join(says, ", "))
}

// net is when a net is hung before the sun comes onto a wall that is worked or wet; nil where it need not be.
func (a *Answer) net(lay time.Time) (time.Time, message.Text) {
	x := a.Exterior
	if x == nil || x.SunFrom.IsZero() || a.Job.Outdoors.Cover != exposure.Open {
		return time.Time{}, nil
	}
	last := a.Coats[a.due[1]-1]
	wet := last.Recoat
	if last.Last && !last.Closes.IsZero() {
		wet = last.Closes
	}
	if !x.SunTo.After(lay) || !wet.IsZero() && !x.SunFrom.Before(wet) {
		return time.Time{}, nil
	}
	from, to := comes(x.SunFrom), lasts(x.SunTo)
	out := exposure.Outside{Place: a.Job.Place}
	if rise, err := out.Sunrise(x.SunFrom); err == nil && !x.SunFrom.After(lay) && !rise.IsZero() { // the sun is there before the crew
		if rise = rise.In(a.Job.Zone); rise.Before(x.SunFrom) {
			return RoundDown(rise.Add(-netBefore), 5*time.Minute), message.Say("Net up before sunrise, {}: sun on the wall {} to {}.", comes(rise), from, to)
		}
	}
	return RoundDown(x.SunFrom.Add(-netBefore), 5*time.Minute), message.Say("Net up before the sun is on the wall, {} to {}.", from, to)
}
