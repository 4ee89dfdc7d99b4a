package sheets

import (
	"io/fs"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/settling"
	"seamtally/templates"
)

// PriceOptions says what Price is to do.
type PriceOptions struct {
	In       string              // the shop's workbook
	Out      string              // where the priced workbook goes; "" = beside the input, named by disk.OutputName
	InPlace  bool                // the input is replaced
	Force    bool                // an existing output is replaced
	DryRun   bool                // nothing is written
	Password string              // of an encrypted workbook; the output is encrypted with it too
	Refill   bool                // numbers typed over calculated cells give way to their formulas
	Settle   []settling.Settling // what columns and sheets are
	Lines    bool                // Report.Lines is wanted
	With     []string            // sheets for the bid that the workbook is to have from now on, see [bid.Sheets]
	// Set is what is written into assumptions of a workbook that was priced, nil for
	// nothing.
	Set *assumptions.Settings
	// Typed are cells that are read as if somebody had typed them, in a dry run.
	Typed []book.Typed
	From  *From // whose rates a workbook without any begins with; nil for those as shipped

	// What the Log on Assumptions says of a run that changes a figure.
	Date    string // as in 2026-11-25
	By      string // who has it done
	Version string // of the program

	// files are the model's texts, where they are not those of the program.
	files fs.FS
}

// model is what the run works by.
func (o *PriceOptions) model(sys model.System) (*model.Model, error) {
	if o.files == nil {
		return compute.Load(templates.FS, sys)
	}
	return compute.Load(o.files, sys)
}

// LineReport is one priced row.
type LineReport struct {
	Sheet   string
	Row     int
	Mark    string
	Car     string
	Words   map[string]string // kind, set-up, alloy and the like, by the names of the model
	Figures model.Figures
}

// CarReport is one car spec.
type CarReport struct {
	Car     string
	Ordered float64
	Figures model.Figures
}

// Report is what a run did and found.
type Report struct {
	Input, Output string
	System        model.System
	Currency      string
	Units         map[string]string // of every figure
	Read          int               // joint rows
	Priced        int
	LeftOut       int
	SetUps        string       // of Rates, where it is written: which set-up the order would take fewest hours under
	Factors       []string     // of the shop's own on hours and argon that are not as shipped: "saw_factor 112 %"
	Lines         []LineReport // only if PriceOptions.Lines
	Cars          []CarReport
	Order         model.Figures
	Findings      []book.Finding
	Verdict
	Stands    bool     // there is a file at Output already, which only force replaces
	Unchanged bool     // the output equals the input, byte for byte
	Logged    []string // what the run has written into the Log, a line each

	// What has come from an earlier workbook, nil for nothing.
	Taken *Taken
}
