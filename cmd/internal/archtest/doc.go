// Package archtest holds no code, only the tests of the project's shape: which
// package may import which, where the clock and chance may come in, and what
// stands at the top of the tree.
package archtest
