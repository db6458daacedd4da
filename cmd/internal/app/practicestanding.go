package app

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"limeday/cmd/internal/diary"
	"limeday/drying/practice"
)

type standingAnswer struct {
	Schema string          `json:"schema"`
	Name   string          `json:"name"`
	Levels []standingLevel `json:"levels"` // those that something was done of
	Next   int             `json:"next_level"`
	Topic  *practice.Topic `json:"next_topic"` // null where none went wrong
	All    bool            `json:"all_sit"`
}

type standingLevel struct {
	Level  int              `json:"level"`
	About  string           `json:"about"`
	Done   int              `json:"done"`
	Right  int              `json:"right"`
	Near   int              `json:"near"`
	Lately []practice.Mark  `json:"lately"`
	Shaky  []practice.Topic `json:"shaky"`
	Sits   bool             `json:"sits"`
}

// readIfThere reads a diary; one that does not exist yet says nothing.
func readIfThere(inv *invocation, path string) ([]diary.Entry, error) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	entries, faults, err := diary.Read(path)
	if err == nil {
		err = tellFaults(inv, faults)
	}
	return entries, err
}

// practiceStanding tells what somebody did, and what is worth doing next.
func practiceStanding(inv *invocation, f practiceFlags) error {
	name, path, err := who(f)
	if err != nil {
		return err
	}
	if path == "" {
		return usage("--record", "a diary", "--standing needs the diary that answers are kept in and the name: give --record class.diary --name Mara")
	}
	done, err := attemptsOf(inv, path, name)
	if err != nil {
		return err
	}
	if len(done) == 0 {
		return &Error{Exit: ExitBadInput, Where: path, Expected: "a diary with exercises of " + name,
			Message: fmt.Sprintf("%s: nothing that %s did is in it%s", path, name, othersIn(inv, path))}
	}
	var attempts []practice.Attempt
	for _, k := range done {
		attempts = append(attempts, k.Attempt)
	}
	st := practice.Stand(attempts)
	a := standingAnswer{Schema: "limeday.practice-standing/1", Name: name, Levels: []standingLevel{}, Next: int(st.Next), All: st.All}
	if st.Topic != "" {
		a.Topic = &st.Topic
	}
	for _, d := range st.Levels {
		a.Levels = append(a.Levels, standingLevel{int(d.Level), practice.Levels()[d.Level-1], d.All, d.Right, d.Near, d.Lately, append([]practice.Topic{}, d.Shaky...), d.Sits()})
	}
	return inv.Answer(a, func() string { return standingText(name, st) })
}

// othersIn names who is in a record, for a name that is not.
func othersIn(inv *invocation, path string) string {
	entries, err := readIfThere(inv, path)
	if err != nil {
		return ""
	}
	seen := map[string]bool{}
	var names []string
	for _, e := range diary.Amended(entries) {
		if n := e.Text("name"); e.Kind == diary.Exercise && !seen[n] {
			seen[n] = true
			names = append(names, n)
		}
	}
	if len(names) == 0 {
		return "; do some exercises with --record " + path
	}
	return "; it has exercises of " + strings.Join(names, ", ")
}

func standingText(name string, st practice.Standing) string {
	var b strings.Builder
	b.WriteString(wrap("", "What "+name+" did:"))
	said := map[practice.Mark]string{practice.Right: "right", practice.Near: "near", practice.Not: "not so"}
	for _, d := range st.Levels {
		var lately []string
		for _, m := range d.Lately {
			lately = append(lately, said[m])
		}
		text := fmt.Sprintf("%s. %s; lately %s.", practice.Levels()[d.Level-1], plural(d.All, "exercise"), strings.Join(lately, ", "))
		if len(d.Shaky) > 0 && len(practice.Topics(d.Level)) > 1 {
			var topics []string
			for _, t := range d.Shaky {
				topics = append(topics, t.Words())
			}
			text += " Not right the last time: " + strings.Join(topics, ", ") + "."
		} else if d.Sits() {
			text += " It sits."
		}
		b.WriteString(wrap(fmt.Sprintf("  %d  ", d.Level), text))
	}
	next := fmt.Sprintf("Worth doing next: level %d, %s", st.Next, practice.Levels()[st.Next-1])
	switch {
	case st.All:
		next = "All levels sit. Worth doing next: a sample board, guessed at first with limeday practice --board"
	case st.Topic != "" && len(practice.Topics(st.Next)) > 1:
		next += ", above all " + st.Topic.Words()
	}
	b.WriteString(wrap("", next+"."))
	return b.String()
}
