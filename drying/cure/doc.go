// Package cure follows the face of a wall through the days and weeks after laying: how deep it has carbonated,
// whether it freezes while it holds too much water, until when published advice wants it free of frost, whether
// it dries too fast, what rain, dew and fog do to it, and what protection follows from all that, with times.
//
// Everything is worked out from a Record, the plain record of the face by the hour that a simulation (or a
// logger) gives, with the numbers of the finish (drying/material) and those of Rules. Start with Rules.Assess;
// each part of its Report is also a function of its own.
//
// # Conventions
//
// Times are seconds on the caller's own clock, in order; no calendar is known here, so no clock change either.
// Temperatures are C, relative humidity is a fraction over liquid water at every temperature, thickness and depth
// are m of dried film, amounts of water kg/m2 (1 kg/m2 of rain is 1 mm). Between hours temperature, humidity,
// saturation and wind vary evenly; rain, evaporation and sun hold for the hour they stand with.
//
// What is not known is said: a Moment or Outlook beyond the end of the Record carries that horizon and says
// "not known beyond"; it is never taken for safety.
//
// # Evidence
//
// Every number of Rules and of the finishes carries its evidence. Little of it is published. In particular:
//
//   - No critical saturation of lime plaster was found. A Freeze is graded by how much of the range 0.75 to 0.91
//     it exceeds, and is no test of passing or failing.
//   - Frost-free days: published advice varies from one to thirteen weeks.
//   - Carbonation. C2: drying retarded carbonation in mortars and not in pastes (Arandigoyen & Alvarez 2006,
//     abstract); here pore water blocks it. C3: the best humidity is 50 % in one source, 55 to 75 % in another
//     (Wierig 1984, as quoted), 75 to 97 % in others (Lopez-Arce 2011 and El-Turki 2007, abstracts); here it is a
//     plateau from 55 to 80 %. Dheilly et al. 2002 (from memory) found powders faster in the cold; practice says
//     that lime stops below 5 C, and practice is followed. The range of the depth is that of the coefficient k
//     alone: the contradictions are not spread into it, and may lie outside.
//
// # Not modelled
//
// Never take any of this for a warranty of frost safety, or of readiness for a tight coating. Not modelled are
// salts and the frost damage they bring; ice lenses and the water that ice draws to itself; repeated freezing and
// its fatigue; entrained air; the strength gained by hydraulic set; the background behind the coat, which may be
// wetter; the heat that freezing sets free; frost that comes through from behind; hail and the force of rain; run-off from ledges and
// splash from the ground; abrasion by wind or sheeting. The front of carbonation is not sharp (Lawrence 2006,
// abstract: up to 15 % of the lime is left at the face): a depth is where it is well under way. A wind-chill has no
// place here: a wet face in wind cools towards the wet bulb, which the face temperature given must already hold.
// Advice is for the face as the Record has it: sheeting changes that face, so simulate it again with the sheeting.
package cure
