// Package material holds what limeday knows of finishes and backgrounds, every number with its range,
// evidence and source, and turns them into the retention and flow properties that package wall solves.
//
// # Model
//
// A fresh finish holds u kg of water per kg of solid. From u0 as laid it consolidates: each gram of
// water lost is a gram's volume of thinning, and suction rises from the fresh suction p0 to air entry
// with the logarithm of suction, as soils do (a consolidation line; Terzaghi's law). At the shrinkage
// limit u_sh air enters the pores, and the film drains along a retention curve of van Genuchten's form
// (1980, Soil Sci. Soc. Am. J. 44, 892-898) whose tail is fitted to the water held at 80 % relative
// humidity. Its liquid diffusivity is one constant while it consolidates, falling by exp(-4(1-S)) as
// it drains (ESTIMATE), and is solved so that the desorptivity at a stated suction equals the
// material's own.
//
// A rigid layer has van Genuchten's retention through two points, half full at its mean suction and
// w80 at 80 % relative humidity, a liquid diffusivity that rises as 1000^(w/w_cap - 1) (Kuenzel 1995,
// dissertation, Stuttgart, from memory) and vapour diffusion by mu. His factor 3.8 (A_w/w_cap)^2 gives A_w
// back to within some per cent only; here the factor is solved so that the layer drinks exactly A_w.
//
// # Not modelled
//
// Salts, additives other than through the numbers, ageing of a finish in the tub, carbonation's effect
// on pores, anisotropy, and any difference between two walls of the same name: the ranges say how far
// those may lie apart.
package material
