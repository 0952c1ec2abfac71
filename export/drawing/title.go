package drawing

import "time"

// Title is what the title block says, by the fields of ISO 7200. A field left
// blank stays blank on the sheet, to be filled in by pen.
type Title struct {
	Owner    string    // legal owner
	Number   string    // identification number
	Name     string    // title; the cell's name where blank
	Date     time.Time // of issue; also the PDF's date of creation, so it must come from the input and not from the clock
	Creator  string
	Approver string
}
