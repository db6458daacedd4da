// Package page is the local page: today's answer for each job, with buttons on site; the bench, where air and coat are
// changed and the drawing follows; the year; and practice. It is HTTP and HTML only: what is said comes from a [Desk].
//
// Every page works without a script, as plain links and forms; the script adds that the bench follows the finger and that
// presses survive a lost connection. There is no build step, and nothing is asked of any other host: the content policy
// allows only the page's own files, with no inline script or style.
//
// # Who may ask
//
// [Guard] answers only to the names that the server is known by, so a foreign page cannot reach it by pointing a name of its
// own at this computer; it refuses what another site's page sends, and bodies that are larger than any form. Where the
// server can be reached from other machines it also wants a session, which a link that works once opens.
//
// # Presses
//
// A press on site has an id, made where it is pressed. The script keeps it until the server has said that it is in the diary,
// and the same id is entered once, however often it is sent. It comes with its age, not its time: the clock of the phone is
// not believed, only how long ago it was pressed.
//
// # Not here
//
// Encryption: on a network others can read along. A page that opens without the server: what was pressed waits on the phone,
// but the page itself must have been loaded.
package page
