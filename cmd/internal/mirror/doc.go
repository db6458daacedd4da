// Package mirror holds no code, only a test behind a build tag: it builds the
// commit named in testdata/base and the tree on the disk, gives both the command
// lines of testdata/cases.txt, and compares every byte of what they answer.
//
//	go test -tags mirror -timeout 60m ./cmd/internal/mirror
//	go test -tags mirror -timeout 60m ./cmd/internal/mirror -args -only 'season|wall' -out differences
//
// Both are built round testdata/main.go.txt in place of cmd/limeday's main: the
// clock stands still there, weather services are answered from files and no
// progress is told. So nothing of an answer has to be left out of the comparison
// but the port of serve and the random names of its presses. What main.go itself
// does is not compared.
package mirror
