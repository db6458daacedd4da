package sheet

import (
	_ "embed"
	"html/template"
	"io"
)

// Deck is a set of timing cards, to be printed on both sides and cut.
type Deck struct {
	Head     string
	About    []string // what holds for all of them
	Cards    []Card
	Cautions []string
}

// Card is one of them, in words: its front asks, its back answers.
type Card struct {
	Air, Temp, RH       string // Air may be empty
	Coat, Thick, Spread string
	Asks                []string
	Times               []CardTime
	Signs               []Fact
	Last                string // whether it is the coat that is closed
	Warn                string // may be empty
}

// CardTime is a time of a coat on a card; Likely or Band may be empty.
type CardTime struct{ Name, Likely, Band string }

// PerPage is how many cards a page has: two beside each other.
const PerPage = 8

//go:embed deck.css
var deckCSS string

//go:embed deck.html
var deckPage string

var deckTemplate = template.Must(template.New("deck").Parse(deckPage))

// leaf is a sheet of paper: its back has the cards of each row the other way round, so that they lie behind their fronts
// when it is turned on its long edge. A nil card is a gap.
type leaf struct {
	Number, Of  int
	Front, Back []*Card
}

// WriteDeck writes the deck as one page of HTML.
func WriteDeck(w io.Writer, d Deck) error {
	policy, style := sealed(css + deckCSS)
	d = d.clean()
	var leaves []leaf
	for i := 0; i < len(d.Cards); i += PerPage {
		l := leaf{Number: len(leaves) + 1, Of: (len(d.Cards) + PerPage - 1) / PerPage}
		for k := i; k < i+PerPage; k += 2 {
			var left, right *Card
			if k < len(d.Cards) {
				left = &d.Cards[k]
			}
			if k+1 < len(d.Cards) {
				right = &d.Cards[k+1]
			}
			if left == nil {
				break
			}
			l.Front, l.Back = append(l.Front, left, right), append(l.Back, right, left)
		}
		leaves = append(leaves, l)
	}
	return deckTemplate.Execute(w, struct {
		Deck
		Policy string
		Style  template.CSS
		Leaves []leaf
	}{d, policy, style, leaves})
}

func (d Deck) clean() Deck {
	d.Head, d.About, d.Cautions = plain(d.Head), each(d.About, plain), each(d.Cautions, plain)
	d.Cards = each(d.Cards, func(c Card) Card {
		for _, s := range []*string{&c.Air, &c.Temp, &c.RH, &c.Coat, &c.Thick, &c.Spread, &c.Last, &c.Warn} {
			*s = plain(*s)
		}
		c.Asks, c.Times, c.Signs = each(c.Asks, plain), each(c.Times, func(t CardTime) CardTime { return CardTime{plain(t.Name), plain(t.Likely), plain(t.Band)} }), each(c.Signs, Fact.clean)
		return c
	})
	return d
}
