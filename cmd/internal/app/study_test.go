//go:build study

package app

// The study asks for every air with every setting, at every hour, and 3,000 inputs of a site.
func init() { thinned, siteInputs = 1, 3000 }
