// Package caution holds what a reader must know before trusting the map with a
// moving robot. It stands on the first page of the report and on every drawing.
package caution

// Heading is the signal word: ISO 3864-2 and ANSI Z535.4 use WARNING for a
// hazard that could result in death or serious injury.
const Heading = "WARNING"

// Sentences are the cautions, one thought each, in the order in which to read
// them.
var Sentences = []string{
	"This map is an aid to planning and checking. It is not a safety function and not a risk assessment.",
	"It shows what was there when it was scanned.",
	"Check it by measurement before the robot moves; move first at reduced speed (250 mm/s, ISO 10218).",
	"Nobody enters while the robot can move.",
	"Mind the laser class of the scanner (IEC 60825-1).",
	"The standards in force, local codes and a qualified person decide.",
}
