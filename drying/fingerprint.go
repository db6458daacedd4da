package drying

//go:generate go test -run ^TestFingerprint$ -count=1 . -update-fingerprint

// Fingerprint tells one model from another: it is the SHA-256 of the sources that a season's days come from, without
// comments and layout, and of gonum's version. Whoever keeps what the model gave keeps this beside it, so that
// what another model gave is never served. A test recomputes it.
const Fingerprint = "3a9f72138192a8bd875f5d5f847799e2"
