package page

// done says what was just put on record, by the code in the address: no words
// of an address ever come onto a page.
var done = map[string]string{
	"job":  "The job is open.",
	"room": "The room is drawn.",
	"link": "A new link is made. The old one leads nowhere now."}
