// Package quantity reads and writes numbers with their units, the way a
// plasterer writes them: "14C", "57 F", "1013hPa", "0.1mm", "8mil".
//
// A bare number follows [Units], metric or US. Every conversion is exact by
// definition: the international yard and pound of 1959 (1 ft = 0.3048 m,
// 1 lb = 0.453 592 37 kg), the nautical mile of 1929 (1852 m), and the
// conventional inch of mercury of NIST SP 811 (2008), appendix B.8, from
// 13 595.1 kg/m3 and 9.806 65 m/s2.
//
// Nothing is guessed. A number that looks like another unit's (57 C, 0.72 %)
// is refused with a question, and NaN, infinities, hexadecimal, digit
// separators and decimal commas are refused too.
//
// Not here: which values make sense for lime. Ranges guard only against slips
// and against what the physics below can take.
package quantity
