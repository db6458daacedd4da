//go:build study

package coat_test

// The study takes as many members as the bands do.
func init() { membersHeld = 200 }
