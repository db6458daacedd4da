//go:build study

package app

// The study asks for every air with every setting.
func init() { thinned = 1 }
