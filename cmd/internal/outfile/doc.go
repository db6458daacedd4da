// Package outfile writes files whole or not at all. What is to be written goes to a file of its own beside the
// target and takes the target's name only once it is complete and on the disk, so that a full disk, an
// interruption or a crash never leaves half a file under the name that was asked for, nor harms the one that was
// there.
//
// Not done: locking against another program that writes the same file, and flushing the folder itself; after a
// power cut the old file may be found instead of the new one, whole in either case.
package outfile
