package coat_test

import "testing"

// BenchmarkMembers is one member of a band, as coarse as these are followed, from its materials to its last coat's being dry. Every number
// of every material is its own in every member, so each makes all its tables. The members are the same 40 in turn.
func BenchmarkMembers(b *testing.B) {
	for _, x := range []struct {
		name string
		job  memberJob
	}{
		{"polish", memberJob{"polished-lime", "primed-board", 3, false}}, {"polish-outdoors", memberJob{"polished-lime", "primed-board", 3, true}},
		{"render-outdoors", memberJob{"nhl-render", "brick", 1, true}}, {"float", memberJob{"float-coat", "old-lime", 1, false}},
	} {
		b.Run(x.name, func(b *testing.B) {
			members := make([]member, 40)
			for i := range members {
				members[i] = drawMember(b, x.job, i)
			}
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				if _, err := members[i%len(members)].times(1, true); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
