package practice

import "strings"

// Attempt is an exercise that somebody did, in the order of doing.
type Attempt struct {
	Level Level
	Topic Topic
	Mark  Mark
}

// Done is what somebody did of a level.
type Done struct {
	Level            Level
	All, Right, Near int
	Lately           []Mark  // the last few, oldest first
	Shaky            []Topic // that were not right the last time they came
}

// Sits tells whether a level needs no more for now: its last three were right, or near after a right one.
func (d Done) Sits() bool {
	if len(d.Lately) < inARow {
		return false
	}
	right := 0
	for _, m := range d.Lately[len(d.Lately)-inARow:] {
		if m == Not {
			return false
		}
		if m == Right {
			right++
		}
	}
	return right >= inARow-1
}

// inARow is how many of a level must go well one after the other, and lately how many are looked at (judgement).
const (
	inARow = 3
	lately = 5
)

// Standing is what somebody has done, and what is worth doing next.
type Standing struct {
	Levels []Done // those that something was done of
	Next   Level
	Topic  Topic // of Next, that went wrong last; empty where none did
	All    bool  // every level sits
}

// Stand tells where somebody stands: next comes the first level that does not sit.
func Stand(attempts []Attempt) Standing {
	var s Standing
	names := Levels()
	for i := range names {
		d := Done{Level: Level(i + 1)}
		last := map[Topic]Mark{}
		for _, a := range attempts {
			if a.Level != d.Level {
				continue
			}
			d.All++
			switch a.Mark {
			case Right:
				d.Right++
			case Near:
				d.Near++
			}
			d.Lately = append(d.Lately, a.Mark)
			last[a.Topic] = a.Mark
		}
		d.Lately = d.Lately[max(0, len(d.Lately)-lately):]
		for _, t := range Topics(d.Level) {
			if m, ok := last[t]; ok && m != Right {
				d.Shaky = append(d.Shaky, t)
			}
		}
		if d.All > 0 {
			s.Levels = append(s.Levels, d)
		}
		if !d.Sits() && s.Next == 0 {
			s.Next = d.Level
			if len(d.Shaky) > 0 {
				s.Topic = d.Shaky[0]
			}
		}
	}
	if s.Next == 0 {
		s.Next, s.All = Level(len(names)), true
	}
	return s
}

// Words is a topic as people say it.
func (t Topic) Words() string { return strings.ReplaceAll(string(t), "-", " ") }
