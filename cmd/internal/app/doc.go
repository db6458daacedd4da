// Package app is the command line: it finds the command, reads its flags, runs
// it, and turns its answer or its error into text or JSON and an exit status.
//
// [Run] is the whole program but for the process. A command is one entry of
// the table in commands.go and one small file: it declares its flags, and gets
// an [invocation] with everything from outside, its clock included. What it
// prints is held back until it has succeeded, so a failure leaves stdout empty.
//
// Not here: any judgement about lime.
package app
