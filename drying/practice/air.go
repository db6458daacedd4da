package practice

import (
	"math"
	"slices"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/message"
	"limeday/psychro"
)

// How far an ordinary hygrometer may be off, held in the hand (judgement, no source; makers of such instruments claim about as
// much).
const (
	offTemp = 0.5  // K
	offRH   = 0.03 // of 1
)

// dewPoint asks for a dew point. What counts as right is what the instrument's own error allows.
func dewPoint(m *maker) (Exercise, error) {
	t, rh := m.whole(6, 28, 1), m.whole(0.35, 0.9, 0.05)
	air := airOf(t, rh)
	d := float64(air.DewPoint())
	x := Exercise{
		Given: []message.Text{message.Say("The room: air {}, relative humidity {}.", message.Celsius(t), message.Parts(rh))},
		Asks:  message.Say("How cold must a wall be for dew to form on it?"),
		Wants: WantTemperature,
		Hint:  message.Say("Air that cools keeps its water, so its relative humidity rises. Near saturation a fall of {} raises it by about five parts in a hundred; in drier air it takes more.", message.Kelvins(1)),
		Answer: Answer{Value: d,
			Earliest: math.Min(float64(airOf(t-offTemp, rh-offRH).DewPoint()), d-1),
			Latest:   math.Max(float64(airOf(t+offTemp, rh+offRH).DewPoint()), d+1)},
	}
	x.Answer.Says = message.Say("{}; between {} and {} counts, since a hygrometer in the hand is no better.", message.Celsius(d), message.Celsius(x.Answer.Earliest), message.Celsius(x.Answer.Latest))
	x.Answer.Reasons = []Reason{
		{Text: message.Say("The air holds {} of the water that it could at {}. Cooled by {} it is full, and the rest settles on the wall.", message.Parts(rh), message.Celsius(t), message.Kelvins(t-d))},
		{Text: message.Say("Keep the face {} above that, {} or warmer: a margin taken from a coatings standard, ISO 8502-4.", message.Kelvins(drying.DewCare), message.Celsius(d+drying.DewCare))},
	}
	x.Answer.Sign = message.Say("a cold wall that has gone dark or feels slick; breath that stays on it")
	return x, nil
}

// wallAboveDew asks whether a wall is far enough above its dew point.
func wallAboveDew(m *maker) (Exercise, error) {
	t, rh := m.whole(8, 24, 1), m.whole(0.45, 0.9, 0.05)
	air := airOf(t, rh)
	d := float64(air.DewPoint())
	wall := t - m.whole(0, 8, 1)
	sealed := m.IntN(2) == 0
	margin := wall - d
	right := 0
	switch {
	case margin < 0:
		right = 2
	case margin < drying.DewStop && sealed:
		right = 2
	case margin < drying.DewCare:
		right = 1
	}
	// The reading may be off; then it must not change the answer.
	slack := math.Max(float64(airOf(t, math.Min(1, rh+offRH)).DewPoint())-d, d-float64(airOf(t, rh-offRH).DewPoint()))
	for _, limit := range []float64{0, drying.DewStop, drying.DewCare} {
		if math.Abs(margin-limit) < slack && (limit != 0 || !sealed) && (limit != drying.DewStop || sealed) {
			return Exercise{}, errUnclear
		}
	}
	face := "an open face, that drinks"
	if sealed {
		face = "a sealed face, that does not drink"
	}
	x := Exercise{
		Given: []message.Text{message.Say("The room: air {}, relative humidity {}. The wall reads {}; it has "+face+".", message.Celsius(t), message.Parts(rh), message.Celsius(wall))},
		Asks:  message.Say("Is the wall safe from dew?"),
		Wants: WantChoice,
		Choices: inOrder(message.Say("yes: well above its dew point"),
			message.Say("close to it: with care, warm the room first"),
			message.Say("no: dew forms on it, or all but")),
		Hint:   message.Say("Work the dew point out first: each {} of cooling takes near saturation about five parts in a hundred.", message.Kelvins(1)),
		Answer: Answer{Choice: right, Sign: message.Say("a cold wall that has gone dark or feels slick; breath that stays on it")},
	}
	if right < 2 {
		x.Answer.Near = []int{right + 1} // too careful by a step
	}
	above := message.Say("{} above it", message.Kelvins(margin))
	if margin < 0 {
		above = message.Say("{} below it", message.Kelvins(-margin))
	}
	x.Answer.Says = message.Say("The dew point is {}, and the wall is {}.", message.Celsius(d), above)
	there := float64(air.VapourPressure()) / float64(psychro.SaturationWater(psychro.Celsius(wall)))
	holds := message.Say("the same water is {} of what it could hold", message.Parts(there))
	if there > 1 {
		holds = message.Say("it can hold only {} of that water, and the rest settles", message.Parts(1/there))
	}
	x.Answer.Reasons = []Reason{{Text: message.Say("The air holds {} of what it could at {}: at {}, the wall's own temperature, {}.", message.Parts(rh), message.Celsius(t), message.Celsius(wall), holds)}}
	limit := "Less than {} above the dew point wants care (a margin from a coatings standard, ISO 8502-4)"
	if sealed {
		x.Answer.Reasons = append(x.Answer.Reasons, Reason{Text: message.Say(limit+"; on a sealed face less than {} is a no-go, as the water stands on it.", message.Kelvins(drying.DewCare), message.Kelvins(drying.DewStop))})
	} else {
		x.Answer.Reasons = append(x.Answer.Reasons, Reason{Text: message.Say(limit+".", message.Kelvins(drying.DewCare))})
	}
	return x, nil
}

// thirstyAir asks which of three airs dries most.
func thirstyAir(m *maker) (Exercise, error) {
	type one struct {
		c   Case
		dry float64
		vpd float64
	}
	airs := make([]one, 3)
	base := usual(finish("polished-lime"), 1)
	for i := range airs {
		airs[i].c = base
		airs[i].c.Air = airOf(m.whole(6, 30, 2), m.whole(0.3, 0.85, 0.05))
		r, err := airs[i].c.rung(false)
		if err != nil {
			return Exercise{}, err
		}
		airs[i].dry, airs[i].vpd = r.Dry, float64(airs[i].c.Air.VapourPressureDeficit())
	}
	best := slices.IndexFunc(airs, func(a one) bool {
		return !slices.ContainsFunc(airs, func(b one) bool { return b.dry < a.dry })
	})
	tempting := false // one that is warmer, or drier to the instrument, and yet not the answer
	for i, a := range airs {
		if i != best && (a.dry < apart*airs[best].dry || a.vpd > airs[best].vpd/1.15) {
			return Exercise{}, errUnclear
		}
		if i != best && (a.c.Air.RelativeHumidity() < airs[best].c.Air.RelativeHumidity() || a.c.Air.Temperature() > airs[best].c.Air.Temperature()) {
			tempting = true
		}
	}
	if !tempting {
		return Exercise{}, errUnclear
	}
	x := Exercise{
		Given:  []message.Text{message.Say("The same coat, {}, in three rooms.", base.coatText())},
		Asks:   message.Say("In which room does it dry first?"),
		Wants:  WantChoice,
		Hint:   message.Say("What counts is not how much of what it can hold the air holds, but how much room for water is left: warm air at half is thirstier than cold air at half."),
		Answer: Answer{Choice: best, Sign: message.Say("{}: "+drying.EventNext.Sign(), string(drying.EventNext))},
	}
	var texts []message.Text
	says := message.Say("The next coat can follow")
	for i, a := range airs {
		key := string(rune('a' + i))
		texts = append(texts, message.Say("{} and {}", message.Celsius(float64(a.c.Air.Temperature())), message.Parts(float64(a.c.Air.RelativeHumidity()))))
		sep := ","
		if i == 0 {
			sep = ""
		}
		says = append(says, message.Say(sep+" in "+key+" after {}", message.Seconds(a.dry))...)
		x.Answer.Coats = append(x.Answer.Coats, Run{key, a.c})
	}
	x.Choices, x.Answer.Says = inOrder(texts...), append(says, message.Say(".")...)
	second := (best + 1) % 3
	for i, a := range airs {
		if i != best && a.dry < airs[second].dry {
			second = i
		}
	}
	x.Answer.Reasons = []Reason{{Text: message.Say("What the air still takes up is the gap between the vapour it holds and the most it can: {} in {}, {} in {}.",
		message.Pascals(airs[best].vpd), string(rune('a'+best)), message.Pascals(airs[second].vpd), string(rune('a'+second)))}}
	more, err := why(airs[second].c, airs[best].c, drying.EventNext)
	if err != nil {
		return x, err
	}
	if len(more) > 1 {
		more = more[:1]
	}
	x.Answer.Reasons = append(x.Answer.Reasons, about("In "+string(rune('a'+second)), more)...)
	return x, nil
}

// dryTheAir asks which of the things in one's power brings the next coat on most.
func dryTheAir(m *maker) (Exercise, error) {
	base := usual(finish("polished-lime"), 1)
	t, rh := m.whole(10, 14, 1), m.whole(0.6, 0.8, 0.05)
	base.Air = airOf(t, rh)
	e := float64(base.Air.VapourPressure())
	out, outRH := t-m.whole(2, 8, 1), m.whole(0.6, 0.95, 0.05)
	offered := []struct {
		text message.Text
		air  psychro.Air
		thin bool
	}{
		{message.Say("heat the room to {} from the day before, and keep it so", message.Celsius(17)), airOf(17, e/float64(psychro.SaturationWater(17))), false},
		{message.Say("air it before work, and let it warm to {} again", message.Celsius(t)), airOf(t, math.Min(0.98, outRH*float64(psychro.SaturationWater(psychro.Celsius(out)))/float64(psychro.SaturationWater(psychro.Celsius(t))))), false},
		{message.Say("lay the coat at {} instead of {}", message.Thick(rounded(base.Finish.Coats[0].Low)), message.Thick(base.Thickness)), base.Air, true},
		{message.Say("cool the room to {}: cold air is dry air", message.Celsius(t-4)), airOf(t-4, math.Min(0.98, e/float64(psychro.SaturationWater(psychro.Celsius(t-4))))), false},
	}
	before, err := base.rung(false)
	if err != nil {
		return Exercise{}, err
	}
	dry := make([]float64, len(offered))
	cases := make([]Case, len(offered))
	best := 0
	for i, o := range offered {
		cases[i] = base
		cases[i].Air = o.air
		if o.thin {
			cases[i].Thickness = rounded(base.Finish.Coats[0].Low)
		}
		r, err := cases[i].rung(false)
		if err != nil {
			return Exercise{}, err
		}
		if dry[i] = r.Dry; dry[i] < dry[best] {
			best = i
		}
	}
	for i := range dry {
		if i != best && dry[i] < 1.2*dry[best] {
			return Exercise{}, errUnclear
		}
	}
	if math.IsInf(before.Dry, 1) || dry[best] > before.Dry/1.2 {
		return Exercise{}, errUnclear
	}
	x := Exercise{
		Given: []message.Text{message.Say("{}, in {}.", base.coatText(), base.airText()),
			message.Say("Outside it is {} and {}.", message.Celsius(out), message.Parts(outRH))},
		Asks:   message.Say("Which of these brings the next coat on most?"),
		Wants:  WantChoice,
		Hint:   message.Say("Air keeps its water when it is warmed, and then has more room for more. Nobody blows air at wet lime, or heat."),
		Answer: Answer{Sign: message.Say("{}: "+drying.EventNext.Sign(), string(drying.EventNext))},
	}
	var texts []message.Text
	for _, o := range offered {
		texts = append(texts, o.text)
	}
	var order []int
	x.Choices, order = m.choose(texts...)
	x.Answer.Choice = order[best]
	x.Answer.Says = message.Say("As it is, the next coat can follow after {}.", message.Seconds(before.Dry))
	for i, c := range x.Choices {
		k := slices.Index(order, i)
		if math.IsInf(dry[k], 1) {
			x.Answer.Says = append(x.Answer.Says, message.Say(" With "+c.Key+" never.")...)
			continue
		}
		x.Answer.Says = append(x.Answer.Says, message.Say(" With "+c.Key+" after {}.", message.Seconds(dry[k]))...)
	}
	x.Answer.Coats = []Run{{"as it is", base}, {"with " + x.Choices[order[best]].Key, cases[best]}}
	if x.Answer.Reasons, err = why(base, cases[best], drying.EventNext); err != nil {
		return x, err
	}
	x.Answer.Reasons = about("As it is", x.Answer.Reasons)
	x.Answer.Reasons = append([]Reason{{Text: message.Say("Room for water in the air, as it is {}, with "+x.Choices[order[best]].Key+" {}.", message.Pascals(float64(base.Air.VapourPressureDeficit())), message.Pascals(float64(offered[best].air.VapourPressureDeficit())))}}, x.Answer.Reasons...)
	if offered[best].thin {
		x.Answer.Reasons = x.Answer.Reasons[1:]
	}
	if len(x.Answer.Reasons) > 2 {
		x.Answer.Reasons = x.Answer.Reasons[:2]
	}
	return x, nil
}

// primers are the words for how a primer drinks.
var primers = map[material.Primer]string{
	material.Tight:   "water beads and stands on it",
	material.Fair:    "a drop goes in slowly",
	material.Thirsty: "it darkens at once under a wet brush",
}
