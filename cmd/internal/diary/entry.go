package diary

import (
	"slices"
	"time"
)

// Entry is one line of a diary.
type Entry struct {
	N       int            // place in the diary, from 1; given by Append
	At      time.Time      // when it was so, to the second
	Written time.Time      // when it was put down, to the second; given by Append
	Kind    Kind           // one of Kinds, or of a later version of the program
	Amends  int            // number of the entry that it corrects; 0: none
	Note    string         // free text
	Data    map[string]any // by field name: float64 in the quantity's base unit, string, or bool
}

// Number is a field's number, false where the entry has none.
func (e Entry) Number(field string) (float64, bool) {
	x, ok := e.Data[field].(float64)
	return x, ok
}

// Text is a field's text, empty where the entry has none.
func (e Entry) Text(field string) string {
	s, _ := e.Data[field].(string)
	return s
}

// Flag tells whether a field's flag is set.
func (e Entry) Flag(field string) bool {
	b, _ := e.Data[field].(bool)
	return b
}

// History tells of every entry what later ones did to it.
type History struct {
	Root      map[int]int // number of an entry -> of the one that stands in its place: its own, or of what it amends
	Latest    map[int]int // number of a root -> of the entry that says what now holds
	Withdrawn map[int]int // number of an entry -> of the withdrawal that took it back
}

// Follow gathers what became of entries, which are in the order of the file. A withdrawal can itself be withdrawn;
// to amend an amendment is to amend its root. What amends an entry that is not there stands for itself.
func Follow(entries []Entry) History {
	h := History{map[int]int{}, map[int]int{}, map[int]int{}}
	for _, e := range slices.Backward(entries) {
		if e.Kind == Withdrawal && h.Withdrawn[e.N] == 0 {
			h.Withdrawn[e.Amends] = e.N
		}
	}
	for _, e := range entries {
		if e.Kind == Withdrawal {
			continue
		}
		root, known := h.Root[e.Amends]
		if !known {
			root = e.N
		}
		h.Root[e.N] = root
		if h.Withdrawn[e.N] == 0 {
			h.Latest[root] = e.N
		}
	}
	return h
}

// Amended gives the entries as they stand: an amended one has its place and number still, and says what the latest
// amendment says; one that was withdrawn is gone, with its amendments. Amends is 0 in all of them.
func Amended(entries []Entry) []Entry {
	h := Follow(entries)
	byNumber := make(map[int]Entry, len(entries))
	for _, e := range entries {
		byNumber[e.N] = e
	}
	var out []Entry
	for _, e := range entries {
		if h.Root[e.N] != e.N || h.Withdrawn[e.N] != 0 {
			continue
		}
		now := byNumber[h.Latest[e.N]]
		now.N, now.Amends = e.N, 0
		out = append(out, now)
	}
	return out
}
