// Command seamtally prices TIG-welded titanium tube from the workbook in which
// a shop keeps its joints. See README.md, or run it with --help.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"syscall"
	"time"

	"github.com/urfave/cli/v2"

	"seamtally/sheets"
	"seamtally/sheets/audit"
	"seamtally/sheets/audit/marked"
	"seamtally/sheets/bid"
	"seamtally/sheets/book"
	"seamtally/sheets/calibrate"
	"seamtally/sheets/compare"
	"seamtally/sheets/complete"
	"seamtally/sheets/explain"
	"seamtally/sheets/load"
	"seamtally/sheets/offer"
	"seamtally/sheets/outcome"
	"seamtally/sheets/progress"
	"seamtally/sheets/settling"
	"seamtally/sheets/tell"
	"seamtally/sheets/timesheet"
	"seamtally/sheets/traveller"
	"seamtally/sheets/usage"
	"seamtally/sheets/whatif"
)

// Exit codes. What was done in full is 0, warnings or not.
const (
	exitNotAll  = 1 // written, but the order is incomplete, or it could not all be told
	exitNothing = 2 // nothing was written
)

var (
	// errIncomplete ends a run that has told why the order is not complete.
	errIncomplete = errors.New("the order is incomplete")
	// errFound ends a check that has told what it found.
	errFound = errors.New("something is wrong in the workbook")
	// errNotWhole ends a load that has told which quotes it lacks.
	errNotWhole = errors.New("not all quotes are counted, or complete")
	// errUntold ends a run whose figures or last words could not be written.
	errUntold = errors.New("the workbook is done, but not all could be said of it")
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second one ends the program at once
	ballast := make([]byte, ballastBytes)
	code := run(ctx, os.Args, os.Stdout, os.Stderr)
	runtime.KeepAlive(ballast)
	os.Exit(code)
}

// ballastBytes are set aside and never touched, so that they take no memory. The garbage
// collector waits until twice as much is in use as was after its last round: without
// them it goes round every few megabytes, and takes a fifth of the time of a usual order.
const ballastBytes = 32 << 20

// run is the program with everything that it touches handed in.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	app := newApp(stdout, stderr)
	if before, word, ok := usage.CompletingWord(args); ok {
		if next := nextWords(ctx, app, before, word); len(next) > 0 {
			_, _ = fmt.Fprintln(stdout, strings.Join(next, "\n"))
		}
		return 0
	}
	if usage.Completing(args) && slices.Contains(args, "--") {
		return 0 // only files can follow; the library would run the command
	}
	defer unspool(app)
	err := app.RunContext(ctx, usage.FlagsFirst(app, args))
	switch {
	case err == nil:
		return 0
	case errors.Is(err, errIncomplete), errors.Is(err, errFound), errors.Is(err, errNotWhole):
		return exitNotAll
	case errors.Is(err, errUntold):
		_ = tell.Voice{Err: stderr}.Failed(err)
		return exitNotAll
	}
	if _, fromLibrary := err.(cli.ExitCoder); fromLibrary {
		err = fmt.Errorf("%w; seamtally help lists what there is", err)
	}
	_ = tell.Voice{Err: stderr}.Failed(err)
	return exitNothing
}

// nextWords are what could come next: commands and flags, or what of the workbook that
// is named.
func nextWords(ctx context.Context, app *cli.App, before []string, word string) []string {
	command, flag, words := usage.Unfinished(app, before)
	if next := usage.Typable(app, before, word); command == nil || len(next) > 0 {
		return next
	}
	return complete.Next(ctx, complete.Asked{Command: command.Name, Flag: flag, Words: words, Word: word, Password: os.Getenv("SEAMTALLY_PASSWORD")})
}

// newApp is the command line: what can be asked for, and its help.
func newApp(stdout, stderr io.Writer) *cli.App {
	build, _ := debug.ReadBuildInfo()
	app := &cli.App{
		Name:                 "seamtally",
		Usage:                "price TIG-welded titanium tube from the shop's own workbook",
		UsageText:            "seamtally COMMAND [flags] [FILE]",
		Description:          usage.About,
		Version:              usage.Version(build),
		Writer:               stdout,
		ErrWriter:            stderr,
		EnableBashCompletion: true, DisableSliceFlagSeparator: true,
		Action:         usage.UnknownCommand,
		OnUsageError:   usage.FlagError,
		ExitErrHandler: func(*cli.Context, error) {}, // run says it and chooses the code
		Commands: []*cli.Command{
			{
				Name: "new", Usage: "write a starter workbook to fill in",
				UsageText: "seamtally new [flags] FILE", Description: usage.AboutNew,
				Flags: append([]cli.Flag{
					yes("millimetres, litres and kilograms", "metric"),
					from(),
					force("FILE"),
				}, passwordFor("that is, of LAST")...),
				Action: startNew,
			},
			{
				Name: "price", Usage: "work out a workbook's joints, cars and order",
				UsageText: "seamtally price [flags] FILE", Description: usage.AboutPrice,
				Flags: append(target(),
					&cli.StringFlag{Name: "date", Usage: "`DAY` of the run for the log, as 2026-11-25; else SOURCE_DATE_EPOCH's, else today"},
					&cli.StringFlag{Name: "by", Usage: "`NAME` of who prices, for the log"},
					&cli.StringSliceFlag{Name: "with", Usage: "write `SHEETS` for the bid too: " + strings.Join(bid.Sheets(), ",")},
					from(),
					yes("print JSON in place of the table", "json"),
					&cli.StringSliceFlag{Name: "settle", Usage: "say what a column or a sheet is, as `PLACE=WHAT`: \"Coupe!E=qty\", \"Coupe!E=own\", \"Rates=own\", \"Other work=none\"; kept in the workbook", KeepSpace: true},
					&cli.StringSliceFlag{Name: "set", Usage: "with --dry-run: what would the order come to with `PLACE=VALUE` typed: shop_rate=110, \"A-07.setup=trailing shield, on rolls\"", KeepSpace: true},
					yes("put formulas back where a number was typed over one", "refill"),
					yes("say only what is wrong", "quiet", "q"),
					all(),
				),
				Action: price,
			},
			{
				Name: "check", Usage: "say how a workbook is understood, and what is wrong in it",
				UsageText: "seamtally check [flags] FILE", Description: usage.AboutCheck,
				Flags:  append(password(), yes("print JSON in place of the text", "json"), all()),
				Action: check,
			},
			{
				Name: "explain", Usage: "show the working of one joint, one car or the order",
				UsageText: "seamtally explain [flags] FILE MARK [FIGURE]", Description: usage.AboutExplain,
				Flags:  append(password(), yes("print JSON in place of the text", "json"), yes("the whole working, every figure with its cell and formula", "all")),
				Action: explainFigure,
			},
			{
				Name: "audit", Usage: "work a priced workbook out afresh, and say what was changed in it",
				UsageText: "seamtally audit [flags] FILE", Description: usage.AboutAudit,
				Flags: append([]cli.Flag{
					&cli.PathFlag{Name: "against", Usage: "hold the joints and assumptions against those of `BASE`"},
					&cli.PathFlag{Name: "mark", Usage: "write a copy with what was found on a sheet of its own to `OUT`"},
					force("OUT"),
					yes("print JSON in place of the text", "json"),
				}, password()...),
				Action: auditWorkbook,
			},
			{
				Name: "clear", Usage: "take everything of this program out of a workbook",
				UsageText: "seamtally clear [flags] FILE", Description: usage.AboutClear,
				Flags:  target(),
				Action: takeOut,
			},
			{
				Name: "compare", Usage: "say what moved the price from one revision to the next",
				UsageText: "seamtally compare [flags] OLD NEW", Description: usage.AboutCompare,
				Flags: append(append([]cli.Flag{
					&cli.StringFlag{Name: "of", Usage: "share out another `FIGURE` of the order, such as order_cost"},
					&cli.PathFlag{Name: "output", Aliases: []string{"o"}, Usage: "write a workbook of it too, to `OUT`"},
					force("OUT"),
					&cli.StringFlag{Name: "date", Usage: "`DAY` to write into OUT, as 2026-11-25; else SOURCE_DATE_EPOCH's, else none"},
				}, password()...), yes("print JSON in place of the table", "json")),
				Action: compareOrders,
			},
			{
				Name: "offer", Usage: "write the customer's copy: prices and terms, no cost",
				UsageText: "seamtally offer [flags] FILE -o OUT", Description: usage.AboutOffer,
				Flags: append(passwordFor("the offer is not encrypted"),
					&cli.PathFlag{Name: "output", Aliases: []string{"o"}, Usage: "write to `OUT`"},
					force("OUT"),
					&cli.StringFlag{Name: "date", Usage: "`DAY` of the offer, as 2026-11-25; else the header's, SOURCE_DATE_EPOCH's, or today"},
					yes("offer an incomplete order too, marked as a draft", "draft"),
					&cli.StringFlag{Name: "picture", Usage: "put the picture on that `SHEET` of FILE on top; SHEET!CELL where it has several"},
					yes("print JSON in place of the table", "json"),
				),
				Action: makeOffer,
			},
			{
				Name: "load", Usage: "lay the hours of several quotes over one another, week by week",
				UsageText: "seamtally load [flags] FILE...", Description: usage.AboutLoad,
				Flags: append(append([]cli.Flag{
					&cli.PathFlag{Name: "output", Aliases: []string{"o"}, Usage: "write a workbook of it too, to `OUT`"},
					force("OUT"),
					&cli.Float64Flag{Name: "day-hours", Usage: "floor `HOURS` that the shop has in a working day; else the most that a quote counts on"},
					&cli.StringFlag{Name: "date", Usage: "`DAY` to write into OUT, as 2026-11-25; else SOURCE_DATE_EPOCH's, else none"},
				}, password()...), yes("print JSON in place of the tables", "json")),
				Action: loadQuotes,
			},
			{
				Name: "calibrate", Usage: "make assumptions of the hours that the shop has logged",
				UsageText: "seamtally calibrate [flags] SHEET...", Description: usage.AboutCalibrate,
				Flags: append([]cli.Flag{
					&cli.PathFlag{Name: "into", Usage: "write what is logged into the assumptions of `QUOTE`, and price it"},
					&cli.PathFlag{Name: "output", Aliases: []string{"o"}, Usage: "write the quote, or without --into a report workbook, to `OUT`"},
					yes("write to QUOTE itself", "in-place"),
					&cli.StringFlag{Name: "also", Usage: "write these too: `NAMES` of " + strings.Join(calibrate.Asked(), ", ")},
					yes("write what rests on few cars too", "few"),
					yes("write what lies outside its usual range too", "outside"),
					force("OUT"),
					yes("say the same, write nothing", "dry-run", "n"),
					&cli.StringFlag{Name: "date", Usage: "`DAY` of what is written, as 2026-11-25; else SOURCE_DATE_EPOCH's, else today"},
					&cli.StringFlag{Name: "by", Usage: "`WHO` has it done, for the log"},
				}, append(password(), yes("print JSON in place of the table", "json"))...),
				Action: calibrateFactors,
			},
			{
				Name: "traveller", Usage: "write the bench's pages of each car: what to make, boxes to fill in",
				UsageText: "seamtally traveller [flags] FILE -o OUT", Description: usage.AboutTraveller,
				Flags: append(passwordFor("the travellers are not encrypted"),
					&cli.PathFlag{Name: "output", Aliases: []string{"o"}, Usage: "write to `OUT`"},
					force("OUT"),
					&cli.StringFlag{Name: "car", Usage: "of this `CAR` alone, as Summary names it"},
					yes("print what the shop has noted on the joints' rows too, where a bench may read it", "notes"),
					&cli.StringFlag{Name: "numbers", Usage: "of these cars of the run alone: a `NUMBER`, or two as 3-5"},
					yes("write those of an incomplete order too, marked as a draft", "draft"),
				),
				Action: makeTravellers,
			},
			{
				Name: "timesheet", Usage: "write the sheet on which the floor logs its minutes, car by car",
				UsageText: "seamtally timesheet [flags] FILE -o OUT", Description: usage.AboutTimeSheet,
				Flags: append(passwordFor("the time sheet is not encrypted"),
					&cli.PathFlag{Name: "output", Aliases: []string{"o"}, Usage: "write to `OUT`"},
					force("OUT"),
					yes("write that of an incomplete order too, marked as a draft", "draft"),
				),
				Action: makeTimeSheet,
			},
			{
				Name: "outcome", Usage: "say what came of a quote: logged beside quoted, and what an hour earned",
				UsageText: "seamtally outcome [flags] FILE SHEET...", Description: usage.AboutOutcome,
				Flags:  append(passwordFor("nothing is written"), yes("print JSON in place of the table", "json")),
				Action: tellOutcome,
			},
			{
				Name: "formulas", Usage: "print every formula, with units and sources",
				UsageText: "seamtally formulas [flags]", Description: usage.AboutFormulas,
				Flags: []cli.Flag{
					yes("with the metric defaults", "metric"),
					yes("as tables in Markdown", "markdown"),
				},
				Action: formulas,
			},
			{
				Name: "manual", Usage: "print the manual page, for man",
				UsageText: "seamtally manual", Description: usage.AboutManual,
				Action: manual,
			},
			{
				Name: "completion", Usage: "print a script that completes commands, flags, marks and figures",
				UsageText: "seamtally completion SHELL", Description: usage.AboutCompletion,
				Action: completion,
				BashComplete: func(c *cli.Context) {
					fmt.Fprintln(c.App.Writer, strings.Join(usage.Shells(), "\n"))
				},
			},
		},
	}
	for _, c := range app.Commands {
		c.OnUsageError = usage.FlagError
		c.HideHelpCommand = true // or a FILE named "help" could not be priced
		c.CustomHelpTemplate = usage.CommandHelp(c)
	}
	app.CustomAppHelpTemplate = usage.Help(app)
	return app
}

// password is the flags that open an encrypted workbook.
func password() []cli.Flag { return passwordFor("the output gets the same") }

// passwordFor is the same with words of what becomes of the output.
func passwordFor(output string) []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "password", EnvVars: []string{"SEAMTALLY_PASSWORD"},
			Usage: "the `PASSWORD` of an encrypted workbook; " + output},
		&cli.PathFlag{Name: "password-file", Usage: "a `TEXT` file whose first line is the password; beats the others"},
	}
}

// givenPassword is the password that the flags or the environment give.
func givenPassword(c *cli.Context) (string, error) {
	if c.IsSet("password-file") {
		return tell.PasswordIn(c.Path("password-file"))
	}
	return c.String("password"), nil
}

// opened does what opens a workbook, and says meanwhile how far it is. If the workbook
// is encrypted and nobody has given a password, a person at a terminal is asked for it.
func opened[R any](c *cli.Context, do func(ctx context.Context, password string) (R, error)) (R, error) {
	waited := func(password string) (R, error) {
		step, wipe := tell.Voice{Err: c.App.ErrWriter, Quiet: c.Bool("quiet")}.Progress()
		defer wipe()
		c.App.Metadata[wiping] = wipe
		return do(progress.With(c.Context, step), password)
	}
	given, err := givenPassword(c)
	if err != nil {
		var none R
		return none, err
	}
	report, err := waited(given)
	var locked *book.PasswordError
	if given != "" || !errors.As(err, &locked) {
		return report, err
	}
	typed, stopped := tell.AskPassword(c.Context, "the workbook", os.Stdin, c.App.ErrWriter)
	switch {
	case stopped != nil:
		return report, stopped
	case typed == "":
		return report, err
	}
	return waited(typed)
}

// wiping is what the function that wipes the line of progress is kept under: whoever
// asks something in the midst of a run wipes it first.
const wiping = "wiping"

// yes is a flag without a value.
func yes(usage, name string, aliases ...string) cli.Flag {
	return &cli.BoolFlag{Name: name, Aliases: aliases, Usage: usage, DisableDefaultText: true}
}

// all is the flag that has every cell listed.
func all() cli.Flag { return yes("list every cell, also where the advice is the same", "all") }

// force is the flag that lets a file be replaced.
func force(what string) cli.Flag {
	return yes("replace "+what+" if it exists", "force", "f")
}

// target is the flags that say where a workbook goes.
func target() []cli.Flag {
	return append([]cli.Flag{
		&cli.PathFlag{Name: "output", Aliases: []string{"o"}, Usage: "write to `OUT`"},
		yes("write to FILE itself", "in-place"),
		force("the output"),
		yes("say the same, write nothing", "dry-run", "n"),
	}, password()...)
}

// usualFrom is the variable of the environment that names the workbook whose rates
// the shop usually begins with.
const usualFrom = "SEAMTALLY_FROM"

// from is the flag that takes the rates of an earlier workbook.
func from() cli.Flag {
	return &cli.PathFlag{Name: "from", Usage: "begin with the rates of `LAST`, an earlier priced workbook; else " + usualFrom + "'s; \"\" for those as shipped"}
}

// earlier is what --from or the environment names, nil for nothing.
func earlier(c *cli.Context) (*sheets.From, error) {
	f := &sheets.From{Path: c.Path("from")}
	if usual := os.Getenv(usualFrom); !c.IsSet("from") && usual != "" {
		f.Path, f.Variable = usual, usualFrom
	}
	if f.Path == "" {
		return nil, nil
	}
	var err error
	if f.Password, err = givenPassword(c); err != nil {
		return nil, err
	}
	f.Ask = func(file string) (string, error) {
		if wipe, ok := c.App.Metadata[wiping].(func()); ok {
			wipe()
		}
		return tell.AskPassword(c.Context, file, os.Stdin, c.App.ErrWriter)
	}
	return f, nil
}

func startNew(c *cli.Context) error {
	path, err := file(c)
	if err != nil {
		return err
	}
	last, err := earlier(c)
	if err != nil {
		return err
	}
	voice := tell.Voice{Err: c.App.ErrWriter}
	if last != nil {
		day, err := usage.Day("", os.Getenv("SOURCE_DATE_EPOCH"), time.Now())
		if err != nil {
			return err
		}
		report, err := sheets.NewFrom(c.Context, path, c.Bool("metric"), sheets.PriceOptions{From: last, Force: c.Bool("force"), Date: day, Version: c.App.Version})
		if err != nil {
			return err
		}
		return untold(voice.StartedFrom(path, report))
	}
	if err := sheets.New(path, c.Bool("metric"), c.Bool("force")); err != nil {
		return err
	}
	return untold(voice.Started(path))
}

func price(c *cli.Context) error {
	path, err := file(c)
	if err != nil {
		return err
	}
	voice := tell.Voice{
		Out: c.App.Writer, Err: c.App.ErrWriter,
		Quiet: c.Bool("quiet"), JSON: c.Bool("json"), DryRun: c.Bool("dry-run"), All: c.Bool("all"),
	}
	day, err := usage.Day(c.String("date"), os.Getenv("SOURCE_DATE_EPOCH"), time.Now())
	if err != nil {
		return err
	}
	settle, err := settlings(c.StringSlice("settle"))
	if err != nil {
		return err
	}
	last, err := earlier(c)
	if err != nil {
		return err
	}
	o := sheets.PriceOptions{
		In: path, Out: c.Path("output"), InPlace: c.Bool("in-place"),
		Force: c.Bool("force"), DryRun: c.Bool("dry-run"),
		Refill: c.Bool("refill"), Settle: settle, Lines: c.Bool("json"), With: words(strings.Join(c.StringSlice("with"), ",")),
		Date: day, By: c.String("by"), Version: c.App.Version, From: last,
	}
	if sets := c.StringSlice("set"); len(sets) > 0 {
		asked, err := opened(c, func(ctx context.Context, password string) (*whatif.Report, error) {
			o.Password, o.Lines = password, false
			return whatif.Ask(ctx, o, sets)
		})
		if err != nil {
			return err
		}
		if err := untold(voice.Asked(asked)); err != nil {
			return err
		}
		if !asked.Would.Complete {
			return errIncomplete
		}
		return nil
	}
	report, err := opened(c, func(ctx context.Context, password string) (*sheets.Report, error) {
		o.Password = password
		return sheets.Price(ctx, o)
	})
	if err != nil {
		return err
	}
	if err := untold(voice.Priced(report)); err != nil {
		return err
	}
	if !report.Complete {
		return errIncomplete
	}
	return nil
}

// settlings reads what the command line says of columns and sheets.
func settlings(all []string) ([]settling.Settling, error) {
	var out []settling.Settling
	for _, text := range all {
		s, err := settling.Parse(text)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// words are those of a list with commas between them.
func words(list string) []string {
	return strings.FieldsFunc(list, func(r rune) bool { return r == ',' || r == ' ' })
}

func check(c *cli.Context) error {
	path, err := file(c)
	if err != nil {
		return err
	}
	report, err := opened(c, func(ctx context.Context, password string) (*sheets.CheckReport, error) {
		return sheets.Check(ctx, path, password)
	})
	if err != nil {
		return err
	}
	voice := tell.Voice{Out: c.App.Writer, Err: c.App.ErrWriter, JSON: c.Bool("json"), All: c.Bool("all")}
	if err := untold(voice.Checked(report)); err != nil {
		return err
	}
	if !report.Complete {
		return errFound
	}
	return nil
}

func explainFigure(c *cli.Context) error {
	args := c.Args()
	switch {
	case c.NArg() < 2 || args.First() == "":
		return fmt.Errorf("explain needs a FILE and a MARK; for example: seamtally explain order.xlsx J7")
	case c.NArg() > 3:
		return fmt.Errorf("explain takes FILE, MARK and FIGURE, and was given %d words; quote a name that has spaces in it", c.NArg())
	}
	path, err := spooled(c, args.First())
	if err != nil {
		return err
	}
	x, err := opened(c, func(ctx context.Context, password string) (*explain.Explanation, error) {
		return explain.Figures(ctx, explain.Options{In: path, Password: password, Mark: args.Get(1), Figure: args.Get(2)})
	})
	if err != nil {
		return err
	}
	return tell.Voice{Out: c.App.Writer, Err: c.App.ErrWriter, JSON: c.Bool("json"), All: c.Bool("all")}.Explained(x)
}

func auditWorkbook(c *cli.Context) error {
	path, err := file(c)
	if err != nil {
		return err
	}
	report, err := opened(c, func(ctx context.Context, password string) (*audit.Report, error) {
		o := audit.Options{In: path, Against: c.Path("against"), Password: password}
		report, err := audit.Workbook(ctx, o)
		if err == nil && c.Path("mark") != "" {
			err = marked.Copy(report, c.Path("mark"), password, c.Bool("force"))
		}
		return report, err
	})
	if err != nil {
		return err
	}
	voice := tell.Voice{Out: c.App.Writer, Err: c.App.ErrWriter, JSON: c.Bool("json")}
	if err := untold(voice.Audited(report)); err != nil {
		return err
	}
	if !report.Clean() {
		return errFound
	}
	return nil
}

func takeOut(c *cli.Context) error {
	path, err := file(c)
	if err != nil {
		return err
	}
	report, err := opened(c, func(ctx context.Context, password string) (*sheets.ClearReport, error) {
		return sheets.Clear(ctx, sheets.ClearOptions{
			In: path, Out: c.Path("output"), Password: password,
			InPlace: c.Bool("in-place"), Force: c.Bool("force"), DryRun: c.Bool("dry-run"),
		})
	})
	if err != nil {
		return err
	}
	return untold(tell.Voice{Err: c.App.ErrWriter, DryRun: c.Bool("dry-run")}.Cleared(report))
}

func compareOrders(c *cli.Context) error {
	if c.NArg() != 2 {
		return fmt.Errorf("compare needs two files, the old and the new, and was given %d; for example: seamtally compare old.xlsx new.xlsx", c.NArg())
	}
	if err := namedOutput(c); err != nil {
		return err
	}
	day, err := chosenDay(c)
	if err != nil {
		return err
	}
	voice := tell.Voice{Out: c.App.Writer, Err: c.App.ErrWriter, JSON: c.Bool("json")}
	report, err := opened(c, func(ctx context.Context, password string) (*compare.Report, error) {
		return compare.Orders(ctx, compare.Options{
			Old: c.Args().Get(0), New: c.Args().Get(1), Password: password,
			Of: c.String("of"), Out: c.Path("output"), Force: c.Bool("force"), Date: day,
		})
	})
	if err != nil {
		return err
	}
	return untold(voice.Compared(report))
}

func makeTravellers(c *cli.Context) error {
	path, err := file(c)
	if err != nil {
		return err
	}
	if c.Path("output") == "" {
		return fmt.Errorf("traveller needs a file to write to; for example: seamtally traveller %s -o traveller.xlsx", path)
	}
	from, to, err := tell.Numbers(c.String("numbers"))
	if err != nil {
		return err
	}
	report, err := opened(c, func(ctx context.Context, password string) (*traveller.Report, error) {
		return traveller.Make(ctx, traveller.Options{
			In: path, Out: c.Path("output"), Password: password, Force: c.Bool("force"),
			Draft: c.Bool("draft"), Notes: c.Bool("notes"), Car: c.String("car"), From: from, To: to,
		})
	})
	if err != nil {
		return err
	}
	return untold(tell.Voice{Out: c.App.Writer, Err: c.App.ErrWriter}.Travelled(report))
}

func makeTimeSheet(c *cli.Context) error {
	path, err := file(c)
	if err != nil {
		return err
	}
	if c.Path("output") == "" {
		return fmt.Errorf("timesheet needs a file to write to; for example: seamtally timesheet %s -o floor.xlsx", path)
	}
	report, err := opened(c, func(ctx context.Context, password string) (*timesheet.Report, error) {
		return timesheet.Make(ctx, timesheet.Options{
			In: path, Out: c.Path("output"), Password: password, Force: c.Bool("force"), Draft: c.Bool("draft"),
		})
	})
	if err != nil {
		return err
	}
	return untold(tell.Voice{Out: c.App.Writer, Err: c.App.ErrWriter}.Logs(report))
}

func tellOutcome(c *cli.Context) error {
	if c.NArg() < 2 {
		return fmt.Errorf("outcome needs a FILE and a SHEET; for example: seamtally outcome order-priced.xlsx floor.xlsx")
	}
	report, err := opened(c, func(ctx context.Context, password string) (*outcome.Report, error) {
		return outcome.Of(ctx, outcome.Options{Quote: c.Args().First(), Sheets: c.Args().Tail(), Password: password})
	})
	if err != nil {
		return err
	}
	return untold(tell.Voice{Out: c.App.Writer, Err: c.App.ErrWriter, JSON: c.Bool("json")}.Outcome(report))
}

func makeOffer(c *cli.Context) error {
	path, err := file(c)
	if err != nil {
		return err
	}
	if c.Path("output") == "" {
		return fmt.Errorf("offer needs a file to write to; for example: seamtally offer %s -o offer.xlsx", path)
	}
	day, err := usage.Day(c.String("date"), os.Getenv("SOURCE_DATE_EPOCH"), time.Now())
	if err != nil {
		return err
	}
	report, err := opened(c, func(ctx context.Context, password string) (*offer.Report, error) {
		return offer.Make(ctx, offer.Options{
			In: path, Out: c.Path("output"), Password: password, Force: c.Bool("force"),
			Draft: c.Bool("draft"), Picture: c.String("picture"), Date: day, Chosen: c.IsSet("date"),
		})
	})
	if err != nil {
		return err
	}
	return untold(tell.Voice{Out: c.App.Writer, Err: c.App.ErrWriter, JSON: c.Bool("json")}.Offered(report))
}

func loadQuotes(c *cli.Context) error {
	if c.NArg() == 0 || slices.Contains(c.Args().Slice(), "") {
		return fmt.Errorf("load needs the FILEs of quotes; for example: seamtally load order-1.xlsx order-2.xlsx")
	}
	if hours := c.Float64("day-hours"); c.IsSet("day-hours") && !(hours > 0 && hours < 10000) {
		return fmt.Errorf("--day-hours is %g; give the floor hours of a working day, such as 13.6", hours)
	}
	if err := namedOutput(c); err != nil {
		return err
	}
	day, err := chosenDay(c)
	if err != nil {
		return err
	}
	given, err := givenPassword(c)
	if err != nil {
		return err
	}
	voice := tell.Voice{Out: c.App.Writer, Err: c.App.ErrWriter, JSON: c.Bool("json")}
	step, wipe := voice.Progress()
	report, err := load.Weeks(progress.With(c.Context, step), load.Options{
		Files: c.Args().Slice(), Password: given, Out: c.Path("output"), Force: c.Bool("force"),
		Date: day, DayHours: c.Float64("day-hours"),
	})
	wipe()
	if err != nil {
		return err
	}
	if err := untold(voice.Loaded(report)); err != nil {
		return err
	}
	if !report.Whole() {
		return errNotWhole
	}
	return nil
}

func calibrateFactors(c *cli.Context) error {
	switch {
	case c.NArg() == 0:
		return fmt.Errorf("calibrate needs a SHEET; for example: seamtally calibrate floor.xlsx")
	case c.IsSet("output") && c.Bool("in-place"):
		return fmt.Errorf("-o and --in-place name two places to write to; give one of them")
	case c.IsSet("output") && c.Path("output") == "":
		return fmt.Errorf("-o has no file name; give one, or leave -o out")
	}
	day, err := usage.Day(c.String("date"), os.Getenv("SOURCE_DATE_EPOCH"), time.Now())
	if err != nil {
		return err
	}
	report, err := opened(c, func(ctx context.Context, password string) (*calibrate.Report, error) {
		return calibrate.Run(ctx, calibrate.Options{
			Sheets: c.Args().Slice(), Password: password, Into: c.Path("into"), InPlace: c.Bool("in-place"),
			Also: words(c.String("also")), Few: c.Bool("few"), Outside: c.Bool("outside"), Out: c.Path("output"), Force: c.Bool("force"),
			DryRun: c.Bool("dry-run"), Date: day, By: c.String("by"), Version: c.App.Version,
		})
	})
	voice := tell.Voice{Out: c.App.Writer, Err: c.App.ErrWriter, JSON: c.Bool("json"), DryRun: c.Bool("dry-run")}
	if err != nil {
		if report != nil {
			err = errors.Join(voice.NotCalibrated(report), err)
		}
		return err
	}
	return untold(voice.Calibrated(report))
}

func formulas(c *cli.Context) error {
	if c.NArg() > 0 {
		return fmt.Errorf("formulas takes no FILE, and was given %q; see: seamtally help formulas", c.Args().First())
	}
	return sheets.Formulas(c.App.Writer, c.Bool("metric"), c.Bool("markdown"))
}

func manual(c *cli.Context) error {
	if c.NArg() > 0 {
		return fmt.Errorf("manual takes nothing after it, and was given %q; see: seamtally help manual", c.Args().First())
	}
	build, _ := debug.ReadBuildInfo()
	day := usage.BuiltFrom(build)
	if epoch := os.Getenv("SOURCE_DATE_EPOCH"); epoch != "" {
		var err error
		if day, err = usage.Day("", epoch, time.Time{}); err != nil {
			return err
		}
	}
	cautions, err := sheets.Cautions()
	if err != nil {
		return err
	}
	return usage.Manual(c.App.Writer, c.App, day, cautions)
}

func completion(c *cli.Context) error {
	if c.NArg() != 1 {
		return fmt.Errorf("completion needs the name of one shell; it is one of %s", strings.Join(usage.Shells(), ", "))
	}
	return usage.Completion(c.App.Writer, c.Args().First(), c.App.ToFishCompletion)
}

// untold is an error of telling, after the work itself is done.
func untold(err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%w: %w", errUntold, err)
}

// file is the one FILE of a command.
func file(c *cli.Context) (string, error) {
	name := c.Command.Name
	switch {
	case c.NArg() == 0 || c.Args().First() == "":
		return "", fmt.Errorf("%s needs a FILE; for example: seamtally %s order.xlsx", name, name)
	case c.NArg() > 1:
		return "", fmt.Errorf("%s takes one FILE, and was given %d; quote a name that has spaces in it", name, c.NArg())
	case c.IsSet("output") && c.Bool("in-place"):
		return "", fmt.Errorf("-o and --in-place name two places to write to; give one of them")
	}
	if err := namedOutput(c); err != nil {
		return "", err
	}
	if c.Args().First() == standardInput && name != "new" {
		if err := needsOutput(c); err != nil {
			return "", err
		}
		return spooled(c, standardInput)
	}
	return c.Args().First(), nil
}

// namedOutput refuses -o without a name.
func namedOutput(c *cli.Context) error {
	if c.IsSet("output") && c.Path("output") == "" {
		return fmt.Errorf("-o has no file name; give one, or leave -o out")
	}
	return nil
}

// chosenDay is the day that a run is told, "" for none.
func chosenDay(c *cli.Context) (string, error) {
	day, epoch := c.String("date"), os.Getenv("SOURCE_DATE_EPOCH")
	if day+epoch == "" {
		return "", nil
	}
	return usage.Day(day, epoch, time.Time{})
}
