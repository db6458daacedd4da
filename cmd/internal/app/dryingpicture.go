package app

import (
	"fmt"
	"slices"

	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/page"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/view"
	"limeday/drying"
	"limeday/drying/message"
)

// dryingPicture is a coat's course as it is drawn; for a change the caller sets that before it as Before. last tells that the
// coat is closed, not followed by another.
func dryingPicture(ask drying.LadderAsk, c drying.Trace, last bool, u quantity.Units) drawing.Drying {
	d := drawing.Drying{
		Title: fmt.Sprintf("Coat %d, %s %s", ask.Number, ask.Finish.Name, view.Printer{Units: u}.Quantity(message.Thick(c.Thickness))),
		Says: view.Printer{Units: u}.Text(message.Say("On {}; {}, {}, air at {}", ask.Spots[0].Name, message.Celsius(float64(ask.Air.Temperature())),
			message.RH(float64(ask.Air.RelativeHumidity())), message.MetresASecond(ask.AirSpeed))),
		Last: last, Fresh: c.Fresh,
	}
	if slices.Contains(c.Warnings, drying.CodeTooThick) {
		d.Title += ", too thick"
	}
	if len(ask.Spots) > 1 {
		d.Says += "; the curve is of the spot that drinks slowest"
	}
	for _, p := range c.Points {
		d.Curve = append(d.Curve, drawing.Water{After: p.After, Ratio: p.Water})
	}
	finely := c.Closes-c.Burnish < 600
	add := func(what, state string, at, level, soonest, slowest float64, begins bool) {
		t := drawing.DryingTime{What: what, State: state, At: at, Level: level, Says: view.AfterLaying(at, edgeOf(begins), finely)}
		if slowest > 0 {
			t.Earliest, t.Latest, t.Between = soonest, slowest, view.Narrow(soonest, slowest)
		}
		d.Times = append(d.Times, t)
	}
	add("edge good until", "firming", c.Edge, c.Levels.Edge, c.Soonest.Edge, c.Slowest.Edge, false)
	if last {
		add("compress from", "compress", c.Opens, c.Levels.Opens, c.Soonest.Opens, c.Slowest.Opens, true)
		add("burnish from", "burnish", c.Burnish, c.Levels.Burnish, c.Soonest.Burnish, c.Slowest.Burnish, true)
		add("gone by", "drying", c.Closes, c.Levels.Closes, c.Soonest.Closes, c.Slowest.Closes, false)
		add("dry", "dry", c.Dry, 0, c.Soonest.Dry, c.Slowest.Dry, true)
		return d
	}
	add("opens", "drying", c.Opens, c.Levels.Opens, c.Soonest.Opens, c.Slowest.Opens, true)
	add("next coat from", "dry", c.Next, 0, c.NextSoonest, c.NextSlowest, true)
	return d
}

// dryingTables are the numbers that stand beside it.
func dryingTables(d drawing.Drying) []page.Table {
	times, rows := drawing.DryingTable(d)
	water, points := drawing.WaterTable(d)
	return []page.Table{{Caption: "Times in numbers", Head: times, Rows: rows}, {Caption: "The water in numbers", Head: water, Rows: points}}
}

// edgeOf is that of a time from which something can be done, or else until which.
func edgeOf(begins bool) message.Edge {
	if begins {
		return message.Begins
	}
	return message.Ends
}
