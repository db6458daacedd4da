package diary

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"limeday/cmd/internal/quantity"
	"limeday/drying/material"
)

// Kind names what an entry is about.
type Kind string

// The kinds.
const (
	Reading      Kind = "reading"
	Batch        Kind = "batch"
	Primer       Kind = "primer"
	WallMoisture Kind = "wall-moisture"
	DropTest     Kind = "drop-test"
	TubWeight    Kind = "tub-weight"
	Tint         Kind = "tint"
	Match        Kind = "match"
	DataSheet    Kind = "data-sheet"
	Background   Kind = "background"
	Prediction   Kind = "prediction"
	Event        Kind = "event"
	Weather      Kind = "weather"
	Board        Kind = "board"
	Weighing     Kind = "weighing"
	Handover     Kind = "handover"
	Exercise     Kind = "exercise"
	Guess        Kind = "guess"
	Note         Kind = "note"
	Withdrawal   Kind = "withdrawal" // takes back the entry that it amends
)

// What a face reaches. Of the last three it can also be said that it was looked for and had not come.
const (
	Laid = "laid"
	Damp = "damp" // the face opens
	Gone = "gone" // it has gone by, too dry to burnish
	Dry  = "dry"  // evenly pale, the next coat can follow
)

// Form is a kind with what its entries can say.
type Form struct {
	Kind    Kind
	Meaning string // one line, no full stop
	Fields  []Field
	rule    func(Entry) *EntryError // what one field asks of another; may be nil
}

// Field finds a field by its name.
func (f Form) Field(name string) (Field, bool) {
	if i := slices.IndexFunc(f.Fields, func(x Field) bool { return x.Name == name }); i >= 0 {
		return f.Fields[i], true
	}
	return Field{}, false
}

// FormOf finds the form of a kind.
func FormOf(k Kind) (Form, bool) {
	if i := slices.IndexFunc(forms, func(f Form) bool { return f.Kind == k }); i >= 0 {
		return forms[i], true
	}
	return Form{}, false
}

// must makes a field one that an entry cannot do without.
func must(f Field) Field {
	f.Required = true
	return f
}

func amount(name string, kind *quantity.Kind, valid quantity.Range, meaning string) Field {
	return Field{Name: name, Type: Quantity, Quantity: kind, Valid: valid, Meaning: meaning}
}

func text(name, meaning string) Field { return Field{Name: name, Type: Text, Meaning: meaning} }

func choice(name, meaning string, words ...string) Field {
	return Field{Name: name, Type: Choice, Words: words, Meaning: meaning}
}

// The fields that several kinds have.
func temp(meaning string) Field {
	return amount("temp", quantity.Temperature, quantity.AirTemperatures, meaning)
}

func airFields() []Field {
	return []Field{
		temp("temperature of the air"),
		amount("rh", quantity.Humidity, quantity.Humidities, "relative humidity of the air"),
		amount("wall_temp", quantity.Temperature, quantity.FaceTemperatures, "temperature of the wall's face"),
		amount("air_speed", quantity.Speed, quantity.AirSpeeds, "speed of the air along the wall"),
		amount("pressure", quantity.Pressure, quantity.Pressures, "pressure of the air here, not reduced to sea level"),
	}
}

func finish() Field { return choice("finish", "what was laid", material.Finishes()...) }

func background() Field {
	return choice("background", "what it was laid on", material.Backgrounds()...)
}

func primer(meaning string) Field {
	var words []string
	for _, p := range material.Primers() {
		words = append(words, string(p))
	}
	return choice("primer", meaning, words...)
}

func coat() Field {
	return Field{Name: "coat", Type: Count, Valid: quantity.Range{Min: 1, Max: 9}, Meaning: "which coat: 1 on the background"}
}

func looks() []Field {
	return []Field{text("wet_look", "how it looks wet"), text("dry_look", "how it looks dry: the tint is judged dry")}
}

func place() Field { return text("place", "where on the job") }

// ofBoard ties an entry to a sample board.
func ofBoard(otherwise string) Field {
	return Field{Name: "board", Type: Count, Valid: quantity.Range{Min: 1, Max: 1e6}, Meaning: "of which sample board, by the number of its entry" + otherwise}
}

// predicted are the times of a prediction, as today's answer names them.
func predicted() []Field {
	var out []Field
	for _, t := range []struct{ name, meaning string }{{"lay", "laid"}, {"edge", "edge good until"}, {"opens", "opens"},
		{"burnish", "burnish from"}, {"closes", "gone by"}, {"recoat", "next coat from"}} {
		out = append(out, Field{Name: t.name, Type: Moment, Meaning: t.meaning})
		if t.name != "lay" {
			out = append(out, Field{Name: t.name + "_earliest", Type: Moment, Meaning: t.meaning + ", earliest"},
				Field{Name: t.name + "_latest", Type: Moment, Meaning: t.meaning + ", latest"})
		}
	}
	return out
}

var forms = table()

// Kinds is the table of kinds, in the order of the help.
func Kinds() []Form { return slices.Clone(forms) }

func table() []Form {
	masses := quantity.Range{Max: 1000, Above: true}
	areas := quantity.Range{Max: 10000, Above: true}
	guesses := quantity.Range{Max: 45 * 86400}
	mass := func(name, meaning string) Field { return amount(name, quantity.Mass, masses, meaning) }
	area := func(meaning string) Field { return amount("area", quantity.Area, areas, meaning) }
	return []Form{
		{Kind: Reading, Meaning: "a reading of the air and the wall", Fields: append(airFields(), place())},
		{Kind: Weather, Meaning: "where the weather of the day came from", Fields: []Field{
			must(text("source", "the service or file")),
			{Name: "issued", Type: Moment, Meaning: "when it was issued"},
		}},
		{Kind: Background, Meaning: "what the wall is", Fields: []Field{must(background()), primer("how its primer drinks"), place()}},
		{Kind: WallMoisture, Meaning: "a measurement of the moisture in the wall", Fields: []Field{
			must(amount("moisture", quantity.Moisture, quantity.Range{Max: 100}, "water in the wall, as the instrument gives it")),
			text("method", "the instrument, or how it was measured"), place(),
		}},
		{Kind: DropTest, Meaning: "how long a drop of water takes to go in", Fields: []Field{
			must(amount("drop", quantity.Duration, quantity.DropTests, "time for the drop to go in")), place(),
			{Name: "coat", Type: Count, Valid: quantity.Range{Min: 1, Max: 9}, Meaning: "on the bed of which coat; else on the bare wall"},
		}},
		{Kind: Primer, Meaning: "a primer and the day it was laid", Fields: []Field{
			must(Field{Name: "laid", Type: Date, Meaning: "the day it was laid"}), text("name", "which primer"), primer("how it drinks"), place(),
		}},
		{Kind: DataSheet, Meaning: "the data sheet worked to", Fields: []Field{must(text("edition", "its edition or date")), text("name", "of which material")}},
		{Kind: Batch, Meaning: "a batch of material", Fields: []Field{must(text("number", "as printed on the tub")), finish(), text("name", "which material")}},
		{Kind: Tint, Meaning: "a tint: its recipe and how it looks", Fields: append([]Field{text("recipe", "what went into how much"), finish()}, looks()...)},
		{Kind: Match, Meaning: "the comparison with the approved sample", Fields: []Field{
			must(choice("result", "how the dry face compares", "matches", "close", "differs")), text("sample", "which approved sample"), place(),
		}},
		{Kind: TubWeight, Meaning: "a tub weighed before and after a coat, over its area", Fields: []Field{
			must(mass("before", "the tub before")), must(mass("after", "the tub after")), must(area("what was covered with it")), finish(), coat(),
		}, rule: func(e Entry) *EntryError {
			before, _ := e.Number("before")
			if after, _ := e.Number("after"); after >= before {
				return &EntryError{Field: "after", Message: "the tub is no lighter after than before; check which is which", Expected: "less than before"}
			}
			return nil
		}},
		{Kind: Prediction, Meaning: "the times that were computed for a coat", Fields: append([]Field{must(finish()), must(coat())}, predicted()...)},
		{Kind: Event, Meaning: "what a coat did, or what was done to it", Fields: []Field{
			must(coat()),
			must(choice("what", "what came", Laid, Damp, Gone, Dry, "compressed", "burnished", "missed", "torn", "joint", "rained", "froze", "tape-off", "soaped", "waxed", "sealed")),
			{Name: "looked", Type: Flag, Meaning: "looked then, and it had not yet come"}, ofBoard("; else of the wall"), place(),
			text("press", "which press of the page's buttons it is: one press is entered once"),
		}, rule: func(e Entry) *EntryError {
			if e.Flag("looked") && !slices.Contains([]string{Damp, Gone, Dry}, e.Text("what")) {
				return &EntryError{Field: "looked", Message: fmt.Sprintf("only damp, gone and dry can be looked for before they come, not %s", e.Text("what")), Expected: "damp, gone or dry"}
			}
			return nil
		}},
		{Kind: Board, Meaning: "a sample board set up", Fields: slices.Concat([]Field{
			text("name", "what you call it"), must(finish()), must(background()), primer("how its primer drinks"), must(coat()),
			amount("thickness", quantity.Thickness, quantity.CoatThicknesses, "wet thickness"),
			amount("spread", quantity.Spread, quantity.Spreads, "wet spread, in place of the thickness"),
			choice("thickness_from", "how the thickness is known", "hand", "tub-weight"),
		}, airFields(), []Field{
			{Name: "damped", Type: Flag, Meaning: "masonry damped before laying"}, area("size of the board's face"), mass("bare_mass", "the board before it was laid"),
		}, looks()), rule: func(e Entry) *EntryError {
			_, thick := e.Number("thickness")
			if _, spread := e.Number("spread"); thick == spread {
				said := "it needs thickness or spread: how much was laid"
				if thick {
					said = "thickness and spread are both given; give one"
				}
				return &EntryError{Message: said, Expected: "thickness or spread"}
			}
			return nil
		}},
		{Kind: Weighing, Meaning: "a sample board weighed", Fields: []Field{must(mass("mass", "board and coat")), ofBoard("; else of the last one")}},
		{Kind: Handover, Meaning: "the work handed over", Fields: []Field{text("to", "who took it over"), text("care", "what was told about its care")}},
		{Kind: Exercise, Meaning: "a timing exercise that somebody did", Fields: []Field{
			must(text("name", "who did it")), must(Field{Name: "level", Type: Count, Valid: quantity.Range{Min: 1, Max: 9}, Meaning: "its level"}),
			must(text("seed", "of which set, in digits")), must(Field{Name: "number", Type: Count, Valid: quantity.Range{Min: 1, Max: 1e6}, Meaning: "its number in the set"}),
			must(text("topic", "what it was about")), must(text("asked", "the question")), must(text("answer", "what was answered")), must(text("right", "what is right")),
			must(choice("mark", "how the answer did", "right", "near", "not")),
		}},
		{Kind: Guess, Meaning: "a guess at a sample board, made before it was laid", Fields: []Field{
			must(text("name", "who guessed")), must(ofBoard("")),
			amount("damp", quantity.Duration, guesses, "from laying until it opens"), amount("gone", quantity.Duration, guesses, "from laying until it is gone by"),
			amount("dry", quantity.Duration, guesses, "from laying until it is evenly pale"),
		}, rule: func(e Entry) *EntryError {
			var was float64
			given := false
			for _, name := range []string{Damp, Gone, Dry} {
				t, ok := e.Number(name)
				if ok && t < was {
					return &EntryError{Field: name, Message: "the states come in the order damp, gone, dry; check the guess", Expected: "damp, gone and dry in that order"}
				}
				given, was = given || ok, max(was, t)
			}
			if !given {
				return &EntryError{Message: "it guesses nothing; give damp, gone or dry", Expected: "damp, gone or dry"}
			}
			return nil
		}},
		{Kind: Note, Meaning: "anything else, in words"},
		{Kind: Withdrawal, Meaning: "an earlier entry taken back"},
	}
}

// Check refuses an entry that its kind does not allow, as Append would; At is set. The error is an [*EntryError].
func Check(e Entry) error {
	form, known := FormOf(e.Kind)
	if !known {
		var names []string
		for _, f := range forms {
			names = append(names, string(f.Kind))
		}
		q := quantity.Unknown("kind of entry", string(e.Kind), names)
		return &EntryError{Message: q.Reason, Expected: q.Expected}
	}
	if y := e.At.Year(); y < 1900 || y > 2200 {
		return &EntryError{Field: "at", Message: fmt.Sprintf("no diary is of the year %d; give one from 1900 to 2200", y), Expected: "a moment"}
	}
	if err := checkText("note", e.Note); err != nil {
		return err
	}
	names := make([]string, 0, len(form.Fields))
	for _, f := range form.Fields {
		names = append(names, f.Name)
		v, given := e.Data[f.Name]
		if !given {
			if f.Required {
				return &EntryError{Field: f.Name, Message: fmt.Sprintf("it is missing, and every %s needs it: %s", e.Kind, f.Meaning), Expected: f.Wanted(quantity.Metric)}
			}
			continue
		}
		if err := f.check(v); err != nil {
			return err
		}
	}
	for _, name := range slices.Sorted(maps.Keys(e.Data)) {
		if !slices.Contains(names, name) {
			return UnknownField(form, name)
		}
	}
	if len(e.Data) == 0 && strings.TrimSpace(e.Note) == "" && e.Kind != Withdrawal {
		return &EntryError{Message: fmt.Sprintf("the %s says nothing; give it a field or a note", e.Kind), Expected: strings.Join(append(names, "note"), ", ")}
	}
	if e.Amends < 0 || e.Kind == Withdrawal && e.Amends == 0 {
		return &EntryError{Message: "a withdrawal needs the number of the entry that it takes back", Expected: "a number"}
	}
	if form.rule != nil {
		if err := form.rule(e); err != nil {
			return err
		}
	}
	return nil
}

// UnknownField refuses a name that is no field of the form, nearest first.
func UnknownField(form Form, name string) *EntryError {
	var names []string
	for _, f := range form.Fields {
		names = append(names, f.Name)
	}
	q := quantity.Unknown("field of "+string(form.Kind), name, append(names, "note"))
	return &EntryError{Message: q.Reason, Expected: q.Expected}
}
