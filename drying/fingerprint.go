package drying

//go:generate go test -run ^TestFingerprint$ -count=1 . -update-fingerprint

// Fingerprint tells one model from another: it is the SHA-256 of the sources that a season's days come from, without
// comments and layout, and of gonum's version. Whoever keeps what the model gave keeps this beside it, so that
// what another model gave is never served. A test recomputes it.
const Fingerprint = "9acc9e4ba0f9a74af6222ac9bb40b9b8"
