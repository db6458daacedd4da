package material

import "fmt"

// Primer says how a mineral primer drinks: the plasterer's three words for it.
type Primer string

// The primers.
const (
	Tight   Primer = "tight"   // water beads and stands on it
	Fair    Primer = "fair"    // the usual
	Thirsty Primer = "thirsty" // it darkens at once under a wet brush
)

// Primers lists them.
func Primers() []Primer { return []Primer{Tight, Fair, Thirsty} }

// Background is what a coat is laid on.
type Background struct {
	Name    string
	About   string
	Layers  []Rigid // from the face inwards
	Assumed int     // how many of the last Layers stand for a wall behind that was not described
	Sealed  bool    // its face hardly drinks
	Masonry bool    // may be damped down
	Primed  bool    // carries a primer that Primer chooses
}

// Backgrounds lists the names known, in the order people are shown them.
func Backgrounds() []string {
	return []string{"primed-board", "gypsum-board", "brick", "aerated-block", "cement-board", "old-lime", "painted"}
}

const (
	book1745  = "EN 1745 and EN ISO 10456 tables"
	guess     = "judgement, no source"
	sorption  = "mm/min^0.5 = 0.1291 kg/(m2 s^0.5)"
	hallHoff  = "Hall & Hoff, Water Transport in Brick, Stone and Concrete"
	kumaran   = "Kumaran 2002, ASHRAE 1018-RP"
	wetCourse = "half the draining suction, judgement, no source"
)

func wetting() Property { return prop(0.5, 0.3, 0.95, "-", Estimate, wetCourse) }

// BackgroundNamed returns a background; primer is looked at where the background is primed, and empty
// means Fair. The error is an *UnknownError.
func BackgroundNamed(name string, primer Primer) (Background, error) {
	if primer == "" {
		primer = Fair
	}
	switch name {
	case "primed-board":
		p, err := primerLayer(primer)
		if err != nil {
			return Background{}, err
		}
		return Background{Name: name, About: "gypsum board under a gritty mineral primer, " + string(primer),
			Layers: []Rigid{p, paper(), gypsumCore()}, Sealed: primer == Tight, Primed: true}, nil
	case "gypsum-board":
		return Background{Name: name, About: "gypsum board, bare paper", Layers: []Rigid{paper(), gypsumCore()}}, nil
	case "brick":
		return Background{Name: name, About: "fired clay brick", Layers: []Rigid{brick()}, Masonry: true}, nil
	case "aerated-block":
		return Background{Name: name, About: "autoclaved aerated block", Layers: []Rigid{aerated()}, Masonry: true}, nil
	case "cement-board":
		return Background{Name: name, About: "cement board", Layers: []Rigid{cementBoard()}}, nil
	case "old-lime":
		return Background{Name: name, About: "old lime plaster on brick", Layers: []Rigid{oldLime(), brick()}, Assumed: 1, Masonry: true}, nil
	case "painted":
		return Background{Name: name, About: "old paint on lime plaster", Layers: []Rigid{paint(), oldLime(), brick()}, Assumed: 2, Sealed: true}, nil
	}
	return Background{}, &UnknownError{Kind: "background", Name: name, Known: Backgrounds()}
}

// DampError refuses to damp down what is not masonry.
type DampError struct{ Background string }

func (e *DampError) Error() string {
	return fmt.Sprintf("%s is not damped down: water spoils board and stands on a sealed face; only masonry is", e.Background)
}

// CheckDamp refuses, as a *DampError, what may not be damped down.
func (b Background) CheckDamp() error {
	if !b.Masonry {
		return &DampError{b.Name}
	}
	return nil
}

// On puts b over the wall behind it: b's own layers, then those of behind in place of the ones b assumed.
func (b Background) On(behind Background) Background {
	own := b.Layers[:len(b.Layers)-b.Assumed]
	b.Layers = append(append([]Rigid(nil), own...), behind.Layers...)
	b.Assumed = behind.Assumed
	b.About += ", on " + behind.About
	return b
}

// WithThickness gives b's own thickest layer another thickness in m.
func (b Background) WithThickness(m float64) Background {
	b.Layers = append([]Rigid(nil), b.Layers...)
	thick := 0
	for i := range len(b.Layers) - b.Assumed {
		if b.Layers[i].Thickness.Value > b.Layers[thick].Thickness.Value {
			thick = i
		}
	}
	b.Layers[thick].Thickness = Property{m, m, m, "m", User, "the job"}
	return b
}

func primerLayer(p Primer) (Rigid, error) {
	var a Property
	const from = "range 0.005-0.2 mm/min^0.5 for primer over board, judgement, no source; " + sorption
	switch p {
	case Tight:
		a = prop(0.65e-3, 0.3e-3, 1.3e-3, "kg/(m2 s^0.5)", Estimate, from)
	case Fair:
		a = prop(3.9e-3, 1.3e-3, 9e-3, "kg/(m2 s^0.5)", Estimate, from)
	case Thirsty:
		a = prop(26e-3, 9e-3, 50e-3, "kg/(m2 s^0.5)", Estimate, from)
	default:
		known := make([]string, 0, 3)
		for _, k := range Primers() {
			known = append(known, string(k))
		}
		return Rigid{}, &UnknownError{Kind: "primer", Name: string(p), Known: known}
	}
	return Rigid{
		Name:         "grit-primer",
		Thickness:    prop(0.25e-3, 0.1e-3, 0.4e-3, "m", Estimate, guess),
		Density:      prop(1500, 1200, 1700, "kg/m3", Estimate, guess),
		Capillary:    prop(250, 150, 350, "kg/m3", Estimate, guess),
		Absorption:   a,
		MeanSuction:  prop(5e4, 1e4, 2e5, "Pa", Estimate, guess),
		W80:          prop(10, 4, 25, "kg/m3", Estimate, guess),
		Mu:           prop(120, 60, 500, "-", Estimate, "s_d 0.03 m (0.02-0.14), judgement, no source"),
		Conductivity: prop(0.6, 0.4, 0.9, "W/(m K)", Estimate, guess),
		HeatCapacity: prop(900, 800, 1000, "J/(kg K)", Memory, book1745),
		Wetting:      wetting(),
	}, nil
}

func paper() Rigid {
	return Rigid{
		Name:         "paper",
		Thickness:    prop(0.3e-3, 0.25e-3, 0.4e-3, "m", Estimate, guess),
		Density:      prop(700, 600, 850, "kg/m3", Estimate, guess),
		Capillary:    prop(500, 350, 650, "kg/m3", Estimate, guess),
		Absorption:   prop(4e-3, 1.9e-3, 13e-3, "kg/(m2 s^0.5)", Memory, kumaran+" (0.0019); EN 520 H1/H2 bound 0.016 mm/min^0.5; "+sorption),
		MeanSuction:  prop(1e5, 3e4, 5e5, "Pa", Estimate, guess),
		W80:          prop(50, 30, 70, "kg/m3", Estimate, guess),
		Mu:           prop(30, 10, 100, "-", Estimate, guess),
		Conductivity: prop(0.12, 0.08, 0.2, "W/(m K)", Estimate, guess),
		HeatCapacity: prop(1400, 1200, 1600, "J/(kg K)", Memory, book1745),
		Wetting:      wetting(),
	}
}

func gypsumCore() Rigid {
	return Rigid{
		Name:         "gypsum",
		Thickness:    prop(12e-3, 9e-3, 15e-3, "m", Practice, "board of 12.5 mm less its papers; common practice, no source"),
		Density:      prop(700, 620, 900, "kg/m3", Memory, book1745),
		Capillary:    prop(400, 300, 500, "kg/m3", Memory, hallHoff),
		Absorption:   prop(0.32, 0.19, 0.52, "kg/(m2 s^0.5)", Memory, hallHoff+", cast gypsum 2.5 (1.5-4) "+sorption),
		MeanSuction:  prop(3e4, 1e4, 1e5, "Pa", Estimate, guess),
		W80:          prop(6, 4, 8, "kg/m3", Memory, "low confidence; "+kumaran),
		Mu:           prop(10, 4, 10, "-", Memory, "EN ISO 10456:2007 Table 3, plasterboard 10 dry, 4 wet"),
		Conductivity: prop(0.25, 0.16, 0.25, "W/(m K)", Memory, "EN ISO 10456:2007 Table 3"),
		HeatCapacity: prop(1000, 900, 1100, "J/(kg K)", Memory, "EN ISO 10456:2007 Table 3"),
		Wetting:      wetting(),
	}
}

func brick() Rigid {
	return Rigid{
		Name:         "brick",
		Thickness:    prop(0.1025, 0.09, 0.215, "m", Practice, "half a brick; common practice, no source"),
		Density:      prop(1800, 1500, 2000, "kg/m3", Memory, book1745),
		Capillary:    prop(200, 150, 280, "kg/m3", Memory, hallHoff),
		Absorption:   prop(0.26, 0.065, 0.5, "kg/(m2 s^0.5)", Published, "solid brick 20-30 kg/m2h^0.5, encyclopaedia article on water absorption coefficients; lower values from memory of "+hallHoff),
		MeanSuction:  prop(8e4, 5e4, 2e5, "Pa", Memory, "wetting-front suction of brick 0.05-0.2 MPa, Collier et al. 2007"),
		W80:          prop(5, 2, 15, "kg/m3", Memory, "low confidence"),
		Mu:           prop(12, 5, 16, "-", Memory, "EN 1745: clay masonry 5/10; EN ISO 10456: 16/10"),
		Conductivity: prop(0.7, 0.5, 0.9, "W/(m K)", Memory, book1745),
		HeatCapacity: prop(1000, 840, 1000, "J/(kg K)", Memory, book1745),
		Wetting:      wetting(),
	}
}

func aerated() Rigid {
	return Rigid{
		Name:         "aerated block",
		Thickness:    prop(0.1, 0.075, 0.3, "m", Practice, "common practice, no source"),
		Density:      prop(500, 350, 700, "kg/m3", Memory, book1745),
		Capillary:    prop(320, 250, 400, "kg/m3", Memory, "low confidence"),
		Absorption:   prop(0.08, 0.05, 0.13, "kg/(m2 s^0.5)", Memory, "0.6 (0.4-1.0) "+sorption),
		MeanSuction:  prop(3e4, 1e4, 1e5, "Pa", Estimate, guess),
		W80:          prop(12, 6, 25, "kg/m3", Memory, "low confidence"),
		Mu:           prop(8, 5, 10, "-", Memory, book1745),
		Conductivity: prop(0.14, 0.09, 0.2, "W/(m K)", Memory, book1745),
		HeatCapacity: prop(1000, 850, 1100, "J/(kg K)", Memory, book1745),
		Wetting:      wetting(),
	}
}

func cementBoard() Rigid {
	return Rigid{
		Name:         "cement board",
		Thickness:    prop(12e-3, 6e-3, 15e-3, "m", Practice, "common practice, no source"),
		Density:      prop(1250, 1000, 1500, "kg/m3", Memory, "low confidence"),
		Capillary:    prop(300, 200, 380, "kg/m3", Memory, "low confidence"),
		Absorption:   prop(0.02, 0.0065, 0.04, "kg/(m2 s^0.5)", Memory, "low confidence; 0.15 (0.05-0.3) "+sorption),
		MeanSuction:  prop(2e5, 5e4, 1e6, "Pa", Estimate, guess),
		W80:          prop(60, 40, 90, "kg/m3", Memory, "low confidence"),
		Mu:           prop(25, 15, 50, "-", Memory, "low confidence"),
		Conductivity: prop(0.35, 0.2, 0.6, "W/(m K)", Memory, book1745),
		HeatCapacity: prop(1000, 850, 1500, "J/(kg K)", Memory, book1745),
		Wetting:      wetting(),
	}
}

func oldLime() Rigid {
	return Rigid{
		Name:         "old lime plaster",
		Thickness:    prop(18e-3, 8e-3, 30e-3, "m", Practice, "two coats; common practice, no source"),
		Density:      prop(1600, 1400, 1800, "kg/m3", Memory, "EN ISO 10456:2007 Table 3, lime-sand plaster"),
		Capillary:    prop(270, 220, 330, "kg/m3", Memory, "low confidence"),
		Absorption:   prop(0.19, 0.09, 0.39, "kg/(m2 s^0.5)", Memory, "1.5 (0.7-3) "+sorption+"; EN 1015-18 values of air-lime studies"),
		MeanSuction:  prop(5e4, 2e4, 2e5, "Pa", Estimate, guess),
		W80:          prop(12, 5, 25, "kg/m3", Memory, "low confidence"),
		Mu:           prop(10, 6, 12, "-", Memory, "EN ISO 10456:2007 Table 3, lime-sand plaster 10 dry, 6 wet"),
		Conductivity: prop(0.8, 0.6, 1, "W/(m K)", Memory, "EN ISO 10456:2007 Table 3, lime-sand plaster"),
		HeatCapacity: prop(1000, 840, 1100, "J/(kg K)", Memory, "EN ISO 10456:2007 Table 3"),
		Wetting:      wetting(),
	}
}

func paint() Rigid {
	return Rigid{
		Name:         "old paint",
		Thickness:    prop(0.15e-3, 0.1e-3, 0.4e-3, "m", Estimate, guess),
		Density:      prop(1400, 1200, 1600, "kg/m3", Estimate, guess),
		Capillary:    prop(150, 80, 300, "kg/m3", Estimate, guess),
		Absorption:   prop(2e-3, 0.8e-3, 3.3e-3, "kg/(m2 s^0.5)", Published, "dispersion-painted face 0.05-0.2 kg/m2h^0.5, encyclopaedia article on water absorption coefficients"),
		MeanSuction:  prop(1e5, 3e4, 1e6, "Pa", Estimate, guess),
		W80:          prop(10, 3, 20, "kg/m3", Estimate, guess),
		Mu:           prop(1000, 200, 5000, "-", Estimate, guess),
		Conductivity: prop(0.3, 0.2, 0.5, "W/(m K)", Estimate, guess),
		HeatCapacity: prop(1300, 1000, 1600, "J/(kg K)", Estimate, guess),
		Wetting:      wetting(),
	}
}
