package intake

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"limeday/cmd/internal/quantity"
	"limeday/drying"
)

// What a change may go to.
var (
	heatTo = quantity.Range{Min: 5, Max: 30}
	dryTo  = quantity.Range{Min: 30, Max: 90}
)

const wishWanted = "heat=18C,air-out,dehumidify=50%, with thin, thick, damp, mist, still, shade, heat, air-out, dehumidify, sheet, net, half, hand and stop=2"

// Wishes reads changes that are asked for: names, some with what they go to.
func Wishes(text string, u quantity.Units) ([]drying.Wish, error) {
	if text == "" {
		return nil, nil
	}
	var out []drying.Wish
	given := map[string]bool{}
	for _, word := range strings.Split(text, ",") {
		name, value, valued := strings.Cut(strings.TrimSpace(word), "=")
		bad := func(format string, a ...any) ([]drying.Wish, error) {
			return nil, question("--if", wishWanted, "--if: "+format, a...)
		}
		if name == "" {
			return bad("a change is empty; give its name, such as heat=18C or air-out")
		}
		if !slices.Contains(drying.WishNames(), name) {
			e := quantity.Unknown("change", name, drying.WishNames())
			return nil, question("--if", e.Expected, "--if: %s", e.Reason)
		}
		if given[name] {
			return bad("%s is given twice; give each change once", name)
		}
		given[name] = true
		w, err := drying.Wish{Name: name}, error(nil)
		v := 0.0
		switch {
		case name == "stop":
			n, err := strconv.Atoi(value)
			if err != nil {
				return bad("stop says after which coat, as in stop=2")
			}
			v = float64(n)
		case !valued:
			out = append(out, w)
			continue
		case name == "heat":
			v, err = quantity.Parse(quantity.Temperature, value, u, heatTo)
		case name == "dehumidify":
			v, err = quantity.Parse(quantity.Humidity, value, u, dryTo)
			v /= 100
		default:
			return bad("%s takes no value; give it alone", name)
		}
		if err != nil {
			return bad("%s: %s", name, err)
		}
		w.Value = &v
		out = append(out, w)
	}
	return out, nil
}

// start is the time of day asked for, of the day of at.
func start(text string, at time.Time, zone *time.Location) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	when := text
	if !strings.ContainsAny(text, "Tt ") {
		when = at.In(zone).Format(time.DateOnly) + "T" + text
	}
	t, err := Moment("--start", when, zone)
	if err != nil {
		return t, question("--start", "a time of the day asked about, such as 13:00", "--start: %q is not a time of day; write it as 13:00", text)
	}
	return t, nil
}
